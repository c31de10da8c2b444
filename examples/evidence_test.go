package examples_test

import (
	"encoding/csv"
	"go/ast"
	"go/doc"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// parsePackage returns the files of a folder of the module, those of tests
// apart.
func parsePackage(t *testing.T, set *token.FileSet, folder string) (files, tests []*ast.File) {
	names, err := filepath.Glob(filepath.Join("..", filepath.FromSlash(folder), "*.go"))
	require.NoError(t, err)
	require.NotEmpty(t, names, folder)
	for _, name := range names {
		f, err := parser.ParseFile(set, name, nil, parser.ParseComments)
		require.NoError(t, err)
		if strings.HasSuffix(name, "_test.go") {
			tests = append(tests, f)
		} else {
			files = append(files, f)
		}
	}
	return files, tests
}

// Every row of the page of outside checks belongs to a test that is still
// there and so holds it; the test itself compares the rows.
func TestEveryCheckHasItsTest(t *testing.T) {
	rows := checkRows(t)
	require.Greater(t, len(rows), 1)
	has := map[string]map[string]bool{}
	for _, row := range rows {
		pkg := row[0]
		if has[pkg] == nil {
			has[pkg] = map[string]bool{}
			_, tests := parsePackage(t, token.NewFileSet(), pkg)
			for _, file := range tests {
				for _, d := range file.Decls {
					if fn, ok := d.(*ast.FuncDecl); ok {
						has[pkg][fn.Name.Name] = true
					}
				}
			}
		}
		name, _, _ := strings.Cut(row[1], "/")
		require.True(t, has[pkg][name], "%s has no %s", pkg, name)
	}
}

// Every exported name and field has a comment, and every function an example.
func TestExportedNamesAreDocumented(t *testing.T) {
	for _, pkg := range []string{"units", "units/plane", "units/sample", "volume", "sludge", "sludge/geostat", "sludge/removal",
		"volume/earthwork", "nutrient", "nutrient/allocation", "calibrate", "cover"} {
		set := token.NewFileSet()
		files, tests := parsePackage(t, set, pkg)
		shown := map[string]bool{}
		for _, e := range doc.Examples(tests...) {
			name, _, _ := strings.Cut(e.Name, "_")
			shown[name] = true
		}
		p, err := doc.NewFromFiles(set, files, module+"/"+pkg)
		require.NoError(t, err)
		require.NotEmpty(t, p.Doc, pkg)
		values := func(list []*doc.Value) {
			for _, v := range list {
				for _, s := range v.Decl.Specs {
					s := s.(*ast.ValueSpec)
					require.NotEmpty(t, v.Doc+s.Doc.Text()+s.Comment.Text(), "%s: %s", pkg, s.Names[0])
				}
			}
		}
		funcs := func(list []*doc.Func) {
			for _, f := range list {
				require.NotEmpty(t, f.Doc, "%s: %s %s", pkg, f.Recv, f.Name)
				if f.Recv == "" && !shown[f.Name] {
					t.Errorf("%s: %s has no example", pkg, f.Name)
				}
			}
		}
		values(p.Consts)
		values(p.Vars)
		funcs(p.Funcs)
		for _, typ := range p.Types {
			require.NotEmpty(t, typ.Doc, "%s: %s", pkg, typ.Name)
			if st, ok := typ.Decl.Specs[0].(*ast.TypeSpec).Type.(*ast.StructType); ok {
				for _, f := range st.Fields.List {
					for _, name := range f.Names {
						if name.IsExported() && f.Doc.Text()+f.Comment.Text() == "" {
							t.Errorf("%s: field %s.%s has no comment", pkg, typ.Name, name)
						}
					}
				}
			}
			values(typ.Consts)
			values(typ.Vars)
			funcs(typ.Funcs)
			funcs(typ.Methods)
		}
	}
}

// checkRows reads the page of outside checks.
func checkRows(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open("../testdata/checks.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err, "rewrite the rows of a package with go test ./package -update")
	return rows[1:]
}

// document is a line of testdata/sources.csv: with what the source of a check begins, and
// the title (in parentheses what it is, where no title was printed on the part read),
// publisher (in parentheses where the part read does not name it and it is told from the
// address or the series; "not named" where not even that), number, year and address of
// the document.
type document struct{ begins, title, publisher, number, year, address string }

// documents reads the list of the documents behind the checks.
func documents(t *testing.T) (list []document) {
	t.Helper()
	f, err := os.Open("../testdata/sources.csv")
	require.NoError(t, err)
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	require.NoError(t, err)
	for _, r := range rows[1:] {
		list = append(list, document{r[0], r[1], r[2], r[3], r[4], r[5]})
	}
	return list
}

// Every published value names one document of the list, each of which has a title and a
// publisher, and an address of its publisher or none.
func TestEveryPublishedValueHasItsDocument(t *testing.T) {
	list := documents(t)
	used := map[string]bool{}
	for _, row := range checkRows(t) {
		kind, source := row[len(row)-2], row[len(row)-1]
		if kind != "published" && kind != "published slip" {
			continue
		}
		var of []string
		for _, d := range list {
			if strings.HasPrefix(source, d.begins) {
				of = append(of, d.begins)
				used[d.begins] = true
			}
		}
		require.Len(t, of, 1, "%s: add the document to testdata/sources.csv", source)
	}
	for _, d := range list {
		require.True(t, used[d.begins], "no check is from %s", d.begins)
		require.NotEmpty(t, d.title, d.begins)
		require.NotEmpty(t, d.publisher, d.begins)
		for _, copied := range []string{"scribd", "studylib", "slideplayer", "docest", "docplayer", "issuhub", "yumpu", "coursehero", "casetext", "justia", "law.cornell.edu", "narkive", "manualshive", "easymanua", "paperzz"} {
			require.NotContains(t, d.address, copied, d.begins)
		}
	}
}

// README says how many checks of each kind there are, not more than there are and not
// much less.
func TestReadmeCountsTheChecks(t *testing.T) {
	counts := map[string]int{}
	for _, row := range checkRows(t) {
		counts[row[len(row)-2]]++
	}
	counts["sources"] = len(documents(t))
	text, err := os.ReadFile("../README.md")
	require.NoError(t, err)
	flat := strings.Join(strings.Fields(string(text)), " ")
	for kind, words := range map[string]string{
		"published": `Of its rows more than (\d+) hold a value`, "sources": `more than (\d+) documents prints`, "reference library": `more than (\d+) one that a general-purpose`,
		"identity": `more than (\d+) are identities`, "published slip": `More than (\d+) are published errors`, "from memory": `More than (\d+) rest on memory`,
	} {
		m := regexp.MustCompile(words).FindStringSubmatch(flat)
		require.Len(t, m, 2, words)
		n, err := strconv.Atoi(m[1])
		require.NoError(t, err)
		require.GreaterOrEqual(t, counts[kind], n, kind)
		require.Less(t, float64(counts[kind]), 1.25*float64(n), "%s: say more in README", kind)
	}
}
