package main

import (
	"bytes"
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// allKinds are the kinds of places.
var allKinds = []string{"cell", "number", "operator", "field", "bound", "text"}

// place is a piece of a file and what stands there when it is altered.
type place struct {
	kind, file string
	at, line   int
	old, new   string
	unseen     bool // no test could notice it
}

// String tells a place in one line.
func (p place) String() string {
	return fmt.Sprintf("%s:%d: %s: %s -> %s", p.file, p.line, p.kind, p.old, p.new)
}

// places lists what can be altered in the source and the data of a package, without
// its tests and its sub-packages, in the order of the files.
func places(folder string) (list []place, err error) {
	err = filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir():
			if path != folder && (d.Name() == "testdata" || holdsSource(path)) {
				return fs.SkipDir
			}
		case strings.HasSuffix(path, ".json") && !strings.HasSuffix(path, ".schema.json"):
			text, err := os.ReadFile(path)
			if err != nil {
				return err
			}
			list = append(list, cells(path, text)...)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	set := token.NewFileSet()
	sources, err := parse(set, folder)
	if err != nil {
		return nil, err
	}
	check, err := checker(folder)
	if err != nil {
		return nil, err
	}
	info := newInfo()
	if faults := check(set, sources, info); len(faults) > 0 {
		return nil, faults[0]
	}
	return append(list, codePlaces(set, sources, info)...), nil
}

func holdsSource(folder string) bool {
	names, _ := filepath.Glob(filepath.Join(folder, "*.go"))
	return len(names) > 0
}

var (
	// A value that begins as a number: bare, or a text that may go on with a unit or
	// hold several.
	value  = regexp.MustCompile(`"((?:[^"\\]|\\.)*)"(\s*:)?|-?[0-9][0-9.eE+-]*`)
	figure = regexp.MustCompile(`[0-9]+(\.[0-9]+)?`)
)

// words are the keys whose values are no figures of a table.
var words = map[string]bool{"id": true, "title": true, "publisher": true, "number": true, "year": true, "edition": true, "url": true, "source": true,
	"place": true, "page": true, "table": true, "note": true, "notes": true, "name": true, "lacks": true, "how": true, "why": true, "purpose": true, "periods": true,
	"label": true, "hint": true, "jurisdiction": true, "a": true, "b": true, "c": true} // the letters are those of footnotes

// cells lists the numbers of a JSON file that stand in values.
func cells(file string, text []byte) (list []place) {
	key := ""
	for _, m := range value.FindAllSubmatchIndex(text, -1) {
		if m[4] >= 0 {
			key = string(text[m[2]:m[3]])
			continue
		}
		from, to := m[0], m[1]
		if m[2] >= 0 {
			from, to = m[2], m[3]
			if from == to || text[from] < '0' || text[from] > '9' {
				continue
			}
		}
		if words[key] {
			continue
		}
		for _, n := range figure.FindAllIndex(text[from:to], -1) {
			at := from + n[0]
			old := string(text[at : from+n[1]])
			list = append(list, place{"cell", file, at, line(text, at), old, altered(old), false})
		}
	}
	return list
}

func line(text []byte, at int) int { return 1 + bytes.Count(text[:at], []byte("\n")) }

// altered is a number a fifth greater, with as many decimals, and another in any case.
func altered(old string) string {
	x, err := strconv.ParseFloat(strings.ReplaceAll(old, "_", ""), 64)
	if err != nil || x == 0 {
		return "1"
	}
	_, decimals, _ := strings.Cut(old, ".")
	if strings.ContainsAny(old, "eE") {
		return strconv.FormatFloat(1.2*x, 'g', -1, 64)
	}
	s := strconv.FormatFloat(1.2*x, 'f', len(decimals), 64)
	if y, _ := strconv.ParseFloat(s, 64); y == x {
		return strconv.FormatFloat(x+1, 'f', len(decimals), 64)
	}
	return s
}

var operators = map[token.Token]string{
	token.ADD: "-", token.SUB: "+", token.MUL: "/", token.QUO: "*", token.LSS: "<=", token.LEQ: "<", token.GTR: ">=", token.GEQ: ">",
	token.EQL: "!=", token.NEQ: "==", token.LAND: "||", token.LOR: "&&", token.ADD_ASSIGN: "-=", token.SUB_ASSIGN: "+=", token.MUL_ASSIGN: "/=", token.QUO_ASSIGN: "*=",
}

// textNames are those of functions that only show a thing.
var textNames = regexp.MustCompile(`^(String|Working|working|how|Text|GoString)$`)

// onlyShows reports whether a function only shows a thing: by its name, since it adds to a
// working, or since it answers with words.
func onlyShows(f *ast.FuncDecl) bool {
	of := func(list *ast.FieldList, names ...string) bool {
		return list != nil && slices.ContainsFunc(list.List, func(f *ast.Field) bool {
			return slices.Contains(names, strings.Replace(types.ExprString(f.Type), "units.", "", 1))
		})
	}
	one := f.Type.Results.NumFields() == 1
	return textNames.MatchString(f.Name.Name) || of(f.Type.Params, "*Working") || one && of(f.Type.Results, "Working", "Phrase")
}

// codePlaces lists the numbers, operators and fields of source files of a package.
func codePlaces(set *token.FileSet, sources []*source, info *types.Info) (list []place) {
	siblings := map[string]string{}
	small := map[string]bool{}
	for _, s := range sources {
		addSiblings(siblings, s.tree)
		addSmall(small, s.tree)
	}
	only := onlyBounds(sources, info)
	long, none := oneLength(sources, info, siblings), noneReturned(sources, info)
	for _, s := range sources {
		shows := false
		var unsigned *ast.BasicLit
		equal := unseen(s.tree, small)
		add := func(kind string, pos token.Pos, old, new string) {
			p := set.Position(pos)
			if shows {
				kind = "text"
			}
			list = append(list, place{kind, s.name, p.Offset, p.Line, old, new, equal[pos] || long[pos] || none[pos]})
		}
		inChecks(s.tree, only, info, func(n ast.Node, bound bool) bool {
			switch x := n.(type) {
			case *ast.ImportSpec, *ast.StructType:
				return false
			case *ast.FuncDecl:
				shows = onlyShows(x)
			case *ast.BasicLit:
				if x != unsigned && (x.Kind == token.INT || x.Kind == token.FLOAT) {
					add(or(bound, "bound", "number"), x.Pos(), x.Value, altered(x.Value))
				}
			case *ast.BinaryExpr:
				if l, ok := x.Y.(*ast.BasicLit); ok && x.Op == token.ADD && l.Value == "0" {
					unsigned = l // + 0 makes 0 of -0
				} else if o := operators[x.Op]; o != "" {
					add(or(bound, "bound", "operator"), x.OpPos, x.Op.String(), o)
				}
			case *ast.AssignStmt:
				if o := operators[x.Tok]; o != "" {
					add(or(bound, "bound", "operator"), x.TokPos, x.Tok.String(), o)
				}
			case *ast.Ident:
				if o := map[string]string{"true": "false", "false": "true", "min": "max", "max": "min"}[x.Name]; o != "" {
					add(or(bound, "bound", "operator"), x.Pos(), x.Name, o)
				}
			case *ast.SelectorExpr:
				if o := siblings[x.Sel.Name]; o != "" && !bound {
					add("field", x.Sel.Pos(), x.Sel.Name, o)
				}
			}
			return true
		})
	}
	return list
}

func or[T any](x bool, yes, no T) T {
	if x {
		return yes
	}
	return no
}

func newInfo() *types.Info {
	return &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
}

// addSiblings notes for each field of a struct the next field of the same type.
func addSiblings(siblings map[string]string, f *ast.File) {
	ast.Inspect(f, func(n ast.Node) bool {
		s, ok := n.(*ast.StructType)
		if !ok {
			return true
		}
		byType := map[string][]string{}
		for _, field := range s.Fields.List {
			var text strings.Builder
			ast.Inspect(field.Type, func(n ast.Node) bool {
				if id, ok := n.(*ast.Ident); ok {
					text.WriteString(id.Name + " ")
				}
				return true
			})
			for _, name := range field.Names {
				byType[text.String()] = append(byType[text.String()], name.Name)
			}
		}
		for _, names := range byType {
			for i, name := range names {
				if len(names) > 1 && siblings[name] == "" {
					siblings[name] = names[(i+1)%len(names)]
				}
			}
		}
		return true
	})
}
