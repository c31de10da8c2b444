package main

import (
	"bytes"
	"cmp"
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// variable is the variable of the environment that says which alteration is in force in a
// program that holds many; none for 0.
const variable = "MUTANT"

// site is a place of the source with the expression or statement that holds it.
type site struct {
	place
	id       int
	from, to int    // of the expression or statement in the source
	typ      string // of the expression; "" for a statement
	outFrom  int    // in the altered source
	outTo    int
}

// source is one file with the sites in it.
type source struct {
	name  string
	text  []byte
	tree  *ast.File
	sites []*site
}

// together writes the files of a package so that one program holds as many of the drawn
// places as compile together: each runs the altered expression while [variable] has its
// number. It returns altered files by path, and the numbers of the places within.
func together(folder string, drawn []place) (files map[string][]byte, numbers map[place]int, err error) {
	set := token.NewFileSet()
	check, err := checker(folder)
	if err != nil {
		return nil, nil, err
	}
	sources, err := parse(set, folder)
	if err != nil {
		return nil, nil, err
	}
	info := newInfo()
	if faults := check(set, sources, info); len(faults) > 0 {
		return nil, nil, faults[0]
	}
	pkg := sources[0].tree.Name.Name
	for _, s := range sources {
		s.find(set, info, pkg, drawn)
	}
	numbers = map[place]int{}
	for n, s := range sources {
		for i, x := range s.sites {
			x.id = 1 + 100_000*n + i
		}
	}
	// What does not compile is dropped, a few at a time, since one fault hides others.
	for range 40 {
		set := token.NewFileSet()
		var altered []*source
		for _, s := range sources {
			text := s.render()
			tree, err := parser.ParseFile(set, s.name, text, parser.SkipObjectResolution)
			if err != nil {
				return nil, nil, err
			}
			altered = append(altered, &source{name: s.name, text: text, tree: tree, sites: s.sites})
		}
		which := fmt.Sprintf("package %s\n\nimport (\n\t\"os\"\n\t\"strconv\"\n)\n\nvar mutantInForce, _ = strconv.Atoi(os.Getenv(%q))\n", pkg, variable)
		extra := filepath.Join(folder, "mutant_in_force.go")
		tree, err := parser.ParseFile(set, extra, which, parser.SkipObjectResolution)
		if err != nil {
			return nil, nil, err
		}
		faults := check(set, append(altered, &source{name: extra, tree: tree}), &types.Info{})
		if len(faults) == 0 {
			files = map[string][]byte{extra: []byte(which)}
			for _, s := range altered {
				if len(s.sites) > 0 {
					files[s.name] = s.text
				}
				for _, x := range s.sites {
					numbers[x.place] = x.id
				}
			}
			return files, numbers, nil
		}
		drop := map[*site]bool{}
		for _, f := range faults {
			at := set.Position(f.Pos)
			var inner *site
			for _, s := range altered {
				for _, x := range s.sites {
					if s.name == at.Filename && x.outFrom <= at.Offset && at.Offset < x.outTo && (inner == nil || x.outTo-x.outFrom < inner.outTo-inner.outFrom) {
						inner = x
					}
				}
			}
			if inner == nil { // the fault is told at the statement around
				for _, s := range altered {
					for _, x := range s.sites {
						if s.name == at.Filename && abs(bytes.Count(s.text[:x.outFrom], []byte("\n"))+1-at.Line) <= 4 {
							drop[x] = true
						}
					}
				}
				continue
			}
			drop[inner] = true
		}
		if len(drop) == 0 {
			return nil, nil, faults[0]
		}
		for _, s := range sources {
			s.sites = slices.DeleteFunc(s.sites, func(x *site) bool { return drop[x] })
		}
	}
	return nil, nil, fmt.Errorf("%s: the places do not compile together", folder)
}

func abs(n int) int { return max(n, -n) }

// find adds the drawn places of this file.
func (s *source) find(set *token.FileSet, info *types.Info, pkg string, drawn []place) {
	wanted := map[int]place{}
	for _, p := range drawn {
		if p.file == s.name && !p.unseen {
			wanted[p.at] = p
		}
	}
	imports := map[string]string{}
	for _, i := range s.tree.Imports {
		path, _ := strconv.Unquote(i.Path.Value)
		imports[path] = filepath.Base(path)
		if i.Name != nil {
			imports[path] = i.Name.Name
		}
	}
	ast.PreorderStack(s.tree, nil, func(n ast.Node, above []ast.Node) bool {
		parent := parentOf(above)
		at, whole := token.NoPos, n
		switch x := n.(type) {
		case *ast.GenDecl:
			if x.Tok == token.CONST {
				return false
			}
		case *ast.BasicLit:
			at = x.Pos()
		case *ast.BinaryExpr:
			at = x.OpPos
		case *ast.SelectorExpr:
			at = x.Sel.Pos()
		case *ast.Ident:
			at = x.Pos()
			if c, ok := parent.(*ast.CallExpr); ok && c.Fun == n {
				whole = c
			}
		case *ast.AssignStmt:
			switch parent.(type) {
			case *ast.BlockStmt, *ast.CaseClause:
				at = x.TokPos
			}
		}
		p, ok := wanted[set.Position(at).Offset]
		if at == token.NoPos || !ok {
			return true
		}
		new := &site{place: p, from: set.Position(whole.Pos()).Offset, to: set.Position(whole.End()).Offset}
		if e, ok := whole.(ast.Expr); ok {
			t := info.Types[e].Type
			if !info.Types[e].IsValue() {
				return true
			}
			named := true
			new.typ = types.TypeString(types.Default(t), func(q *types.Package) string {
				if q.Name() == pkg && imports[q.Path()] == "" {
					return ""
				}
				named = named && imports[q.Path()] != ""
				return imports[q.Path()]
			})
			if !named || strings.Contains(new.typ, "invalid") || new.typ == "()" {
				return true
			}
		}
		s.sites = append(s.sites, new)
		return true
	})
	slices.SortFunc(s.sites, func(a, b *site) int { return cmp.Or(a.from-b.from, b.to-a.to) })
}

// render writes the file with its sites.
func (s *source) render() []byte {
	var b bytes.Buffer
	s.write(&b, 0, len(s.text), s.sites)
	return b.Bytes()
}

// write writes the text from one offset to another, with the sites within it.
func (s *source) write(b *bytes.Buffer, from, to int, sites []*site) {
	for len(sites) > 0 {
		x := sites[0]
		n := 1
		for n < len(sites) && sites[n].from < x.to {
			n++
		}
		b.Write(s.text[from:x.from])
		x.outFrom = b.Len()
		altered := fmt.Sprintf("%s%s%s", s.text[x.from:x.at], x.new, s.text[x.at+len(x.old):x.to])
		if x.typ == "" {
			fmt.Fprintf(b, "if mutantInForce == %d {\n%s\n} else {\n", x.id, altered)
			s.write(b, x.from, x.to, sites[1:n])
			b.WriteString("\n}")
		} else {
			fmt.Fprintf(b, "func() %s {\nif mutantInForce == %d {\nreturn %s\n}\nreturn ", x.typ, x.id, altered)
			s.write(b, x.from, x.to, sites[1:n])
			b.WriteString("\n}()")
		}
		x.outTo = b.Len()
		from, sites = x.to, sites[n:]
	}
	b.Write(s.text[from:to])
}

// parse reads the source of a package.
func parse(set *token.FileSet, folder string) (sources []*source, err error) {
	names, err := goFiles(folder)
	for _, name := range names {
		text, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		tree, err := parser.ParseFile(set, name, text, parser.SkipObjectResolution)
		if err != nil {
			return nil, err
		}
		sources = append(sources, &source{name: name, text: text, tree: tree})
	}
	return sources, err
}

// goFiles lists the files of a package that the compiler reads here, without tests.
func goFiles(folder string) (list []string, err error) {
	out, err := exec.Command("go", "list", "-f", `{{join .GoFiles "\n"}}`, "./"+filepath.ToSlash(folder)).Output()
	for _, name := range strings.Fields(string(out)) {
		list = append(list, filepath.Join(folder, name))
	}
	return list, err
}

// checker returns a function that checks the types of a package against what its imports
// export.
func checker(folder string) (func(*token.FileSet, []*source, *types.Info) []types.Error, error) {
	out, err := exec.Command("go", "list", "-export", "-deps", "-f", "{{.ImportPath}}\t{{.Export}}", "./"+filepath.ToSlash(folder), "os", "strconv").Output()
	if err != nil {
		return nil, err
	}
	exports := maps.Collect(func(yield func(string, string) bool) {
		for line := range strings.Lines(string(out)) {
			path, file, _ := strings.Cut(strings.TrimSpace(line), "\t")
			if !yield(path, file) {
				return
			}
		}
	})
	return func(set *token.FileSet, sources []*source, info *types.Info) (faults []types.Error) {
		var trees []*ast.File
		for _, s := range sources {
			trees = append(trees, s.tree)
		}
		imports := importer.ForCompiler(set, "gc", func(path string) (io.ReadCloser, error) { return os.Open(exports[path]) })
		c := types.Config{Importer: imports, Error: func(err error) { faults = append(faults, err.(types.Error)) }}
		c.Check(folder, set, trees, info)
		return faults
	}, nil
}
