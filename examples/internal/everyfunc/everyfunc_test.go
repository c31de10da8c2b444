package everyfunc

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"hash/maphash"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"runtime/debug"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.org/earthbasin/units"
	"example.org/earthbasin/units/strict"
)

func parseNumber(s string) (float64, bool) {
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

const module = "example.org/earthbasin"

var (
	only   = flag.String("only", "", "tell of the functions whose name starts with this")
	rounds = flag.Int("rounds", 30, "how often each function is taken up")
)

// patience is how long an answer may take on a machine with nothing else to do. A
// call that runs longer is held against work that takes a tenth of a second there,
// so that a busy machine fails no test; after the last patience it hangs.
const (
	patience     = 2 * time.Second
	tenth        = 100 * time.Millisecond
	lastPatience = 60 * time.Second
)

// spun keeps the work of busy from being left out.
var spun float64

// busy returns how many times slower than with nothing else to do the machine is.
func busy() float64 {
	start := time.Now()
	x := 1.0
	for i := range 50_000_000 {
		x = x*0.999999 + float64(i&1)
	}
	spun = x
	return max(1, float64(time.Since(start))/float64(tenth))
}

// answer is what a call gave.
type answer struct {
	values []reflect.Value
	err    error
	panic  string
}

// call runs f and reports whether it came back in time. What takes a context may
// work longer, and has to end with it.
func call(f reflect.Value, args []reflect.Value) (answer, bool) {
	ctx, cancel := context.WithTimeout(context.Background(), patience/2)
	defer cancel()
	args = slices.Clone(args)
	for i, a := range args {
		if a.Type() == contextType {
			args[i] = reflect.ValueOf(&ctx).Elem()
		}
	}
	back := make(chan answer, 1)
	go func() {
		var a answer
		defer func() {
			if p := recover(); p != nil {
				a.panic = fmt.Sprintf("%v\n%s", p, debug.Stack())
			}
			back <- a
		}()
		var out []reflect.Value
		if f.Type().IsVariadic() {
			out = f.CallSlice(args)
		} else {
			out = f.Call(args)
		}
		for _, v := range out {
			if v.Type() == errorType {
				a.err, _ = v.Interface().(error)
			} else {
				a.values = append(a.values, v)
			}
		}
	}()
	start := time.Now()
	select {
	case a := <-back:
		return a, true
	case <-time.After(patience):
	}
	slow := busy()
	select {
	case a := <-back:
		return a, time.Since(start).Seconds() < patience.Seconds()*max(slow, busy())
	case <-time.After(lastPatience):
	}
	return answer{}, false
}

// trial is one function under test.
type trial struct {
	name string
	f    reflect.Value
	make *maker
	seed maphash.Seed
	// accepted holds arguments that the function took, for mutation.
	accepted [][]reflect.Value
	calls    int
	took     time.Duration
	faults   map[string]int
}

// complaint is a promise that was broken.
type complaint struct{ what, args string }

func (t *trial) complain(args []reflect.Value, format string, a ...any) *complaint {
	var b strings.Builder
	for i, v := range args {
		text, err := json.Marshal(v.Interface())
		if err != nil {
			text = fmt.Appendf(nil, "%+v", v.Interface())
		}
		if len(text) > 3000 {
			text = append(text[:3000], "..."...)
		}
		fmt.Fprintf(&b, "\n  argument %d %s: %s", i, v.Type(), text)
	}
	return &complaint{t.name + ": " + fmt.Sprintf(format, a...), b.String()}
}

// returnsError reports whether f can refuse its arguments.
func returnsError(f reflect.Type) bool {
	return f.NumOut() > 0 && f.Out(f.NumOut()-1) == errorType
}

// try calls the function once and checks every promise.
func (t *trial) try(args []reflect.Value) (answer, *complaint) {
	t.calls++
	before := fingerprint(t.seed, args...)
	first, ok := call(t.f, args)
	if !ok {
		return first, t.complain(args, "no answer within %v", patience)
	}
	if first.panic != "" {
		return first, t.complain(args, "panic: %s", first.panic)
	}
	if fingerprint(t.seed, args...) != before {
		return first, t.complain(args, "changed its arguments")
	}
	if first.err != nil {
		return first, t.checkError(args, first.err)
	}
	again, ok := call(t.f, args)
	if errors.Is(again.err, context.DeadlineExceeded) {
		return first, nil
	}
	if !ok || again.panic != "" || fingerprint(t.seed, again.values...) != fingerprint(t.seed, first.values...) {
		return first, t.complain(args, "another answer the second time")
	}
	// A function that cannot refuse answers for sound numbers only.
	if !returnsError(t.f.Type()) {
		if strings.HasPrefix(t.name, "units.") {
			return first, nil // arithmetic of float64, infinities too
		}
		for _, a := range args {
			if unsound(a, 1e12) != "" {
				return first, nil
			}
		}
	}
	for _, v := range first.values {
		if bad := unsound(v, 0); bad != "" {
			return first, t.complain(args, "the answer has %s", bad)
		}
	}
	if returnsError(t.f.Type()) {
		if c := t.checkJSON(args, first); c != nil {
			return first, c
		}
	}
	return first, t.checkMethods(args, first)
}

// unreadable finds what fmt writes of what it should not have been given.
var unreadable = regexp.MustCompile(`%!.?\(|<nil>|0xc[0-9a-f]{6}`)

// checkError demands faults with paths that exist.
func (t *trial) checkError(args []reflect.Value, err error) *complaint {
	if errors.Is(err, context.DeadlineExceeded) {
		return nil
	}
	list := units.FieldErrors(err)
	if len(list) == 0 {
		return t.complain(args, "an error that is no fault: %v", err)
	}
	var others func(error) error
	others = func(e error) error {
		if join, ok := e.(interface{ Unwrap() []error }); ok {
			for _, sub := range join.Unwrap() {
				if o := others(sub); o != nil {
					return o
				}
			}
			return nil
		}
		if fe := (*units.FieldError)(nil); !errors.As(e, &fe) {
			return e
		}
		return nil
	}
	if o := others(err); o != nil {
		return t.complain(args, "an error that is no fault among others: %v", o)
	}
	spec := takesSpec(t.f.Type())
	for _, f := range list {
		// That a whole lacks something has no place but the whole.
		if spec && f.Field == "" && f.Kind != units.FaultMissing {
			return t.complain(args, "a fault without a path: %v", f)
		}
		if unreadable.MatchString(f.Error()) {
			return t.complain(args, "a fault that does not read: %v", f)
		}
	}
	return nil
}

// takesSpec reports whether the one thing that f takes beside constructed
// things is a struct of exported fields.
func takesSpec(f reflect.Type) bool {
	for i := range f.NumIn() {
		if in := f.In(i); in.Kind() == reflect.Struct && !hidden(in) && strings.HasSuffix(strings.Split(in.Name(), "[")[0], "Spec") {
			return true
		}
	}
	return false
}

// viaJSON returns v after a trip through JSON, and false for types that do not
// make one: interfaces, functions and what only constructors make.
func viaJSON(v reflect.Value) (reflect.Value, bool, error) {
	if !travels(v.Type(), nil) {
		return v, false, nil
	}
	text, err := json.Marshal(v.Interface())
	if err != nil {
		return v, true, err
	}
	back := reflect.New(v.Type())
	if err := json.Unmarshal(text, back.Interface()); err != nil {
		return v, true, fmt.Errorf("%w: %s", err, text)
	}
	second, err := json.Marshal(back.Elem().Interface())
	if err != nil {
		return v, true, err
	}
	if zero(text) != zero(second) {
		return v, true, fmt.Errorf("went in as %s\n and came back as %s", text, second)
	}
	return back.Elem(), true, nil
}

var minusZero = regexp.MustCompile(`([:,\["])-0([ ,\]}])`)

// zero writes -0, which counts as 0, as 0.
func zero(text []byte) string { return string(minusZero.ReplaceAll(text, []byte("${1}0$2"))) }

var (
	marshaler = reflect.TypeFor[json.Marshaler]()
	reader    = reflect.TypeFor[json.Unmarshaler]()
)

// travels reports whether JSON holds all of a type.
func travels(t reflect.Type, seen []reflect.Type) bool {
	if slices.Contains(seen, t) {
		return true
	}
	seen = append(seen, t)
	if t.Implements(marshaler) || reflect.PointerTo(t).Implements(reader) || reflect.PointerTo(t).Implements(textType) || t == timeType {
		return true
	}
	switch t.Kind() {
	case reflect.Interface, reflect.Func, reflect.Chan:
		return false
	case reflect.Pointer, reflect.Slice, reflect.Array, reflect.Map:
		return travels(t.Elem(), seen)
	case reflect.Struct:
		for i := range t.NumField() {
			f := t.Field(i)
			if !f.IsExported() || f.Tag.Get("json") == "-" || !travels(f.Type, seen) {
				return false
			}
		}
	}
	return true
}

func (t *trial) checkJSON(args []reflect.Value, first answer) *complaint {
	for _, v := range first.values {
		if v.Kind() != reflect.Struct {
			continue
		}
		if _, _, err := viaJSON(v); err != nil {
			return t.complain(args, "the result does not survive JSON: %v", err)
		}
	}
	all := true
	decoded := make([]reflect.Value, len(args))
	for i, a := range args {
		if a.Kind() == reflect.Interface { // a context, a basin of the caller's
			decoded[i] = a
			continue
		}
		back, ok, err := viaJSON(a)
		if err != nil {
			return t.complain(args, "the argument does not survive JSON: %v", err)
		}
		all = all && ok
		decoded[i] = back
	}
	if !all {
		return nil
	}
	again, ok := call(t.f, decoded)
	if !ok || again.panic != "" {
		return t.complain(args, "not the same after JSON: %s", again.panic)
	}
	if again.err != nil {
		return t.complain(args, "refused after JSON: %v", again.err)
	}
	if fingerprint(t.seed, again.values...) != fingerprint(t.seed, first.values...) {
		return t.complain(args, "another answer after JSON")
	}
	return nil
}

// checkMethods calls every method of an answer with made arguments.
func (t *trial) checkMethods(args []reflect.Value, first answer) *complaint {
	for _, v := range first.values {
		if v.Kind() == reflect.Pointer && v.IsNil() || v.Kind() == reflect.Interface && v.IsNil() {
			continue
		}
		if v.Kind() == reflect.Interface {
			v = v.Elem()
		}
		if !strings.HasPrefix(strings.TrimPrefix(v.Type().PkgPath(), "*"), "example.org/") && v.Kind() != reflect.Pointer {
			continue
		}
		for i := range v.NumMethod() {
			name := v.Type().Method(i).Name
			f := v.Method(i)
			if strings.HasPrefix(name, "Unmarshal") || name == "Set" || name == "Scan" || name == "Format" {
				continue
			}
			with := make([]reflect.Value, f.Type().NumIn())
			for j := range with {
				with[j] = t.make.value(f.Type().In(j), 3)
			}
			m := &trial{name: t.name + " then " + name, f: f, make: t.make, seed: t.seed}
			before := fingerprint(t.seed, v)
			got, ok := call(f, with)
			switch {
			case !ok:
				return m.complain(append(slices.Clone(args), with...), "no answer within %v", patience)
			case got.panic != "":
				return m.complain(append(slices.Clone(args), with...), "panic: %s", got.panic)
			case fingerprint(t.seed, v) != before:
				return m.complain(append(slices.Clone(args), with...), "changed its receiver")
			case got.err != nil:
				if c := m.checkError(with, got.err); c != nil {
					return c
				}
				continue
			}
			// What a quantity is multiplied with is arithmetic of float64, infinities too.
			plain := v.Type().PkgPath() != module+"/units" && (returnsError(f.Type()) || unsound(v, 1e12) == "")
			for _, a := range with {
				// A unit to count in is above 0, says the doc of each Series.
				plain = plain && !(name == "Series" && a.IsZero()) && (returnsError(f.Type()) || unsound(a, 1e12) == "")
			}
			for _, r := range got.values {
				if bad := unsound(r, 0); plain && bad != "" {
					return m.complain(append(slices.Clone(args), with...), "the answer has %s", bad)
				}
				t.make.keep(r)
			}
		}
	}
	return nil
}

// round makes arguments, mends them by the faults they meet until they are
// accepted, and mutates what was accepted.
func (t *trial) round() *complaint {
	in := t.f.Type()
	args := make([]reflect.Value, in.NumIn())
	mutated := len(t.accepted) > 0 && !t.make.one(8)
	if mutated {
		for i, a := range t.accepted[t.make.rand.IntN(len(t.accepted))] {
			args[i] = clone(a)
		}
		t.make.mutate(args)
	} else {
		t.make.spiteful, t.make.sparse = 0, []float64{0.1, 0.5, 0.9}[t.make.rand.IntN(3)]
		if t.make.one(3) {
			t.make.spiteful = 6
		}
		for i := range args {
			args[i] = t.make.value(in.In(i), 0)
		}
		if seed, err := os.ReadFile(filepath.Join("testdata", t.name+".json")); err == nil && t.make.one(2) {
			for i := range args {
				if k := in.In(i).Kind(); k == reflect.Struct || k == reflect.Slice && !in.IsVariadic() {
					spec := reflect.New(in.In(i))
					if err := strict.Decode(seed, spec.Interface()); err != nil {
						return t.complain(nil, "the seed is not sound: %v", err)
					}
					args[i] = spec.Elem()
					t.make.fill(args[i])
				}
			}
		}
		t.make.spiteful = 0
	}
	mends := 30
	if mutated {
		mends = 2
	}
	for range mends {
		got, bad := t.try(args)
		if bad != nil {
			return bad
		}
		if got.err == nil {
			if size(args) > 2000 {
				return nil // large ones are tried, and not bred from
			}
			if len(t.accepted) < 30 {
				t.accepted = append(t.accepted, args)
			} else {
				t.accepted[t.make.rand.IntN(30)] = args
			}
			for _, v := range got.values {
				t.make.keep(v)
				if v.Kind() == reflect.Interface && !v.IsNil() {
					t.make.keep(v.Elem())
				}
			}
			return nil
		}
		next := make([]reflect.Value, len(args))
		for i, a := range args {
			next[i] = clone(a)
		}
		for i, f := range units.FieldErrors(got.err) {
			if i == 8 {
				break
			}
			t.make.learn(fmt.Sprint(f.Want))
			if t.faults == nil {
				t.faults = map[string]int{}
			}
			t.faults[f.Error()]++
			if t.make.one(5) {
				continue
			}
			for _, a := range next {
				if a.CanSet() || a.Kind() == reflect.Struct || a.Kind() == reflect.Slice {
					if v, ok := leaf(a, f.Field); ok {
						t.make.mend(v, fmt.Sprint(f.Want))
						break
					}
				}
			}
		}
		if t.make.one(6) {
			t.make.mutate(next)
		}
		args = next
	}
	return nil
}

// size counts the leaves of args.
func size(args []reflect.Value) int {
	var list []reflect.Value
	for _, a := range args {
		leaves(a, 0, &list)
	}
	return len(list)
}

// forPrograms take templates, pointers and errors that a program holds, and no
// input of its user.
var forPrograms = []string{"strict.Check", "strict.Decode", "strict.Make[plane.Point, plane.Point]", "units.Fault", "units.FieldErrors", "units.Hint", "units.WithoutEchoes", "units.Words"}

// run gives every function n rounds in an order that lets constructors go first.
func run(seed uint64, n int) (trials []*trial, bad []*complaint) {
	m := newMaker(seed)
	hash := maphash.MakeSeed()
	for _, name := range slices.Sorted(maps.Keys(functions)) {
		if slices.Contains(forPrograms, name) {
			continue
		}
		trials = append(trials, &trial{name: name, f: reflect.ValueOf(functions[name]), make: m, seed: hash})
	}
	broken := map[string]bool{}
	for range n {
		for _, t := range trials {
			if broken[t.name] {
				continue
			}
			start := time.Now()
			c := t.round()
			t.took += time.Since(start)
			if c != nil {
				broken[t.name] = true
				bad = append(bad, c)
			}
		}
	}
	return trials, bad
}

// TestEveryFunction is the seeded part: the same calls on every machine.
func TestEveryFunction(t *testing.T) {
	if testing.Short() {
		*rounds = min(*rounds, 10)
	}
	trials, bad := run(1, *rounds)
	for _, c := range bad {
		if strings.HasPrefix(c.what, *only) {
			t.Errorf("%s%s", c.what, c.args)
		}
	}
	if testing.Verbose() {
		for _, f := range trials {
			if !strings.HasPrefix(f.name, *only) {
				continue
			}
			t.Logf("%-60s %6d calls, %3d accepted, %v", f.name, f.calls, len(f.accepted), f.took.Round(time.Millisecond))
			if len(f.accepted) == 0 {
				for _, k := range slices.Sorted(maps.Keys(f.faults)) {
					if f.faults[k] > 20 {
						t.Logf("      %d %s", f.faults[k], k)
					}
				}
			}
		}
	}
}

func FuzzEveryFunction(f *testing.F) {
	f.Add(uint64(2))
	f.Fuzz(func(t *testing.T, seed uint64) {
		_, bad := run(seed, 2)
		for _, c := range bad {
			t.Errorf("%s%s", c.what, c.args)
		}
	})
}
