package schema

import (
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
)

// comments finds what the source says of types and fields.
type comments struct {
	root string
	read map[string]map[string]string // by package, then by Type or Type.Field
	err  error
}

const module = "example.org/earthbasin/"

func newComments(root string) *comments {
	return &comments{root: root, read: map[string]map[string]string{}}
}

func (c *comments) ofType(t reflect.Type) string { return c.of(t, "") }

// ofField is the comment of a field, which may be that of a struct within t.
func (c *comments) ofField(t reflect.Type, f reflect.StructField) string {
	for _, i := range f.Index[:len(f.Index)-1] {
		t = t.Field(i).Type
	}
	return c.of(t, f.Name)
}

func (c *comments) of(t reflect.Type, field string) string {
	path, name := c.named(t)
	of := name
	if field != "" {
		of, name = name+"."+field, field
	}
	return strings.TrimPrefix(c.source(path)[of], name+" is ")
}

// named returns where a type stands and its name there, which for an enumeration is
// that of the alias and not of its words.
func (c *comments) named(t reflect.Type) (path, name string) {
	name, of, _ := strings.Cut(t.Name(), "[")
	if name == "Enum" && t.PkgPath() == module+"units" {
		of = strings.TrimSuffix(of, "]")
		i := strings.LastIndexByte(of, '.')
		return of[:i], c.source(of[:i])[aliasOf+of[i+1:]]
	}
	return t.PkgPath(), name
}

// source returns what the source of a package says, nothing for those of others.
func (c *comments) source(path string) map[string]string {
	path, ours := strings.CutPrefix(path, module)
	if path == "main" {
		path, ours = ".", true // the program whose test writes the schema
	}
	if !ours {
		return nil
	}
	said := c.read[path]
	if said == nil {
		said = map[string]string{}
		c.read[path] = said
		folder := path
		if path != "." {
			folder = filepath.Join(c.root, filepath.FromSlash(path))
		}
		c.err = errors.Join(c.err, parse(folder, said))
	}
	return said
}

// aliasOf stands before the words of an enumeration where its name is kept.
const aliasOf = "="

// parse reads the comments of a package.
func parse(folder string, said map[string]string) error {
	names, err := filepath.Glob(filepath.Join(folder, "*.go"))
	if err != nil {
		return err
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.ParseComments)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			d, ok := n.(*ast.GenDecl)
			if !ok || d.Tok != token.TYPE {
				return true
			}
			for _, s := range d.Specs {
				s := s.(*ast.TypeSpec)
				said[s.Name.Name] = oneLine(d.Doc.Text() + s.Doc.Text())
				if enum, ok := s.Type.(*ast.IndexExpr); ok && s.Assign.IsValid() {
					if words, ok := enum.Index.(*ast.Ident); ok {
						said[aliasOf+words.Name] = s.Name.Name
					}
				}
				if fields, ok := s.Type.(*ast.StructType); ok {
					for _, f := range fields.Fields.List {
						for _, name := range f.Names {
							said[s.Name.Name+"."+name.Name] = oneLine(f.Doc.Text() + " " + f.Comment.Text())
						}
					}
				}
			}
			return false
		})
	}
	return nil
}

// docLink is a name of Go in brackets; other brackets belong to the text.
var docLink = regexp.MustCompile(`\[\*?([A-Za-z][A-Za-z0-9]*(?:\.[A-Za-z0-9]+)*)\]`)

// oneLine puts a comment on one line, without the signs of a link.
func oneLine(text string) string {
	return docLink.ReplaceAllString(strings.Join(strings.Fields(text), " "), "$1")
}
