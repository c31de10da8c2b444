// Mutate measures whether the tests would notice a slip. It alters the library one
// place at a time (a number of a data file, a number, an operator or a field of the
// source), runs the tests of the package, and lists what no test noticed.
//
//	go run ./examples/internal/mutate -sample 100 cover
//	go run ./examples/internal/mutate -kinds cell -run AsPrinted cover
//	go run ./examples/internal/mutate -count cover
//	go run ./examples/internal/mutate -again earlier.txt cover
//
// The tree is never touched: go test -overlay reads altered files from elsewhere. One
// program holds all drawn places of the source that compile together, each in force by
// its number; a cell is altered in the image of the program; the rest is built singly.
// Which places are drawn depends on -seed alone. A place that does not build is not
// counted. The bounds of inputs, which are wide by intent and told by the calls that hold
// inputs to them, are counted apart, and so are texts and what no test could notice, as far
// as rules tell it (equivalent.go, searches.go, lengths.go): what stands beside an error or
// an ok that is false, room set aside in advance, how often a search may go round at most,
// the size of what a comparison answers or of what stands for none, ties at which both
// sides are the same, the length of lists that always have one, and tolerances below a
// millionth.
package main

import (
	"cmp"
	"flag"
	"fmt"
	"io"
	"log"
	"math/rand/v2"
	"os"
	"slices"
	"strings"
	"time"
)

func main() {
	log.SetFlags(0)
	var o options
	flag.IntVar(&o.sample, "sample", 60, "how many places of each kind are altered, 0 for all")
	flag.Uint64Var(&o.seed, "seed", 1, "seed of the draw")
	flag.DurationVar(&o.timeout, "timeout", 20*time.Second, "of the tests of one place; what does not end is noticed")
	flag.StringVar(&o.run, "run", "", "tests to run, as go test -run has it; empty for all")
	flag.StringVar(&o.skip, "skip", "", "tests to pass over, as go test -skip has it")
	flag.StringVar(&o.first, "first", "Published|AsPrinted", "tests to run before the others, since quick ones save time")
	flag.StringVar(&o.files, "files", "", "only files whose path contains this")
	again := flag.String("again", "", "only the places that this file, what an earlier run wrote, tells as not noticed")
	flag.BoolVar(&o.count, "count", false, "count the places and alter none")
	kinds := flag.String("kinds", strings.Join(allKinds, ","), "kinds of places, of "+strings.Join(allKinds, ", "))
	flag.Parse()
	o.kinds = strings.Split(*kinds, ",")
	if *again != "" {
		text, err := os.ReadFile(*again)
		if err != nil {
			log.Fatal(err)
		}
		o.again = string(text)
	}
	if flag.NArg() == 0 {
		log.Fatal("name the folders of packages, such as cover or volume/earthwork")
	}
	for _, folder := range flag.Args() {
		if err := o.report(os.Stdout, folder); err != nil {
			log.Fatal(err)
		}
	}
}

// options are the flags.
type options struct {
	sample  int
	seed    uint64
	timeout time.Duration
	run     string
	skip    string
	first   string
	files   string
	count   bool
	again   string // what an earlier run wrote
	kinds   []string
}

// report alters the places of one package and writes what survived and the counts.
func (o options) report(w io.Writer, folder string) error {
	places, err := places(folder)
	if err != nil {
		return err
	}
	there := map[string]int{}
	for _, p := range places {
		if strings.Contains(p.file, o.files) {
			there[p.kind]++
		}
	}
	if o.count {
		for _, kind := range o.kinds {
			fmt.Fprintf(w, "%s, %s: %d\n", folder, kind, there[kind])
		}
		return nil
	}
	dir, err := os.MkdirTemp("", "mutate")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir)
	drawn := o.draw(places)
	b, err := o.newBench(folder, dir, drawn)
	if err != nil {
		return err
	}
	counts := map[string]*count{}
	for _, kind := range o.kinds {
		counts[kind] = &count{}
	}
	for _, p := range drawn {
		fate, err := b.try(p)
		if err != nil {
			return err
		}
		c := counts[p.kind]
		c.fates[fate]++
		if fate == survived {
			fmt.Fprintln(w, p)
		}
	}
	for _, kind := range o.kinds {
		c := counts[kind].fates
		if yes, n := c[noticed]+c[endless], c[noticed]+c[endless]+c[survived]; n > 0 {
			fmt.Fprintf(w, "%s, %s: %d of %d noticed, %.0f %% (%d did not end, %d equivalent, %d do not build; seed %d, %d places in all)\n",
				folder, kind, yes, n, 100*float64(yes)/float64(n), c[endless], c[equivalent], c[notBuilt], o.seed, there[kind])
		}
	}
	return nil
}

type count struct{ fates [5]int }

// draw picks sample places of each kind at random, in the order of the files.
func (o options) draw(all []place) (drawn []place) {
	r := rand.New(rand.NewPCG(o.seed, o.seed))
	for _, kind := range o.kinds {
		var list []place
		for _, p := range all {
			if p.kind == kind && strings.Contains(p.file, o.files) && (o.again == "" || strings.Contains(o.again, p.String()+"\n")) {
				list = append(list, p)
			}
		}
		r.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
		if o.sample > 0 && o.again == "" {
			list = list[:min(o.sample, len(list))]
		}
		drawn = append(drawn, list...)
	}
	slices.SortStableFunc(drawn, func(a, b place) int { return cmp.Or(strings.Compare(a.file, b.file), a.at-b.at) })
	return drawn
}
