package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"combline/internal/quantity"
)

func catalogue(t *testing.T, l Lang) *Catalogue {
	t.Helper()
	c, err := For(l)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func TestLanguagesHaveTheSameTexts(t *testing.T) {
	en := catalogue(t, English)
	for _, l := range Languages()[1:] {
		c := catalogue(t, l)
		for _, k := range en.Keys() {
			if !c.Has(k) {
				t.Errorf("%s.txt has no %s", l, k)
			} else if got, want := c.messages[k].places(), en.messages[k].places(); !slices.Equal(got, want) {
				t.Errorf("%s.txt: %s has the arguments %q, en.txt %q", l, k, got, want)
			}
		}
		for _, k := range c.Keys() {
			if !en.Has(k) {
				t.Errorf("en.txt has no %s, %s.txt has", k, l)
			}
		}
	}
}

// Keys made from the constants of quantity must all have a text.
func TestTextsForQuantity(t *testing.T) {
	var keys []string
	for d := quantity.NoDimension; d <= quantity.PH; d++ {
		keys = append(keys, dimensionKey(d))
	}
	for h := quantity.HowUnknown; h.Valid(); h++ {
		keys = append(keys, "how."+h.String(), "how.mark."+h.String())
	}
	for s := quantity.NoSlip; s <= quantity.NetForGross; s++ {
		keys = append(keys, "slip."+s.String())
	}
	for n := range 12 {
		keys = append(keys, "month."+strconv.Itoa(n+1), "month.alone."+strconv.Itoa(n+1), "month.short."+strconv.Itoa(n+1))
	}
	for n := range 7 {
		keys = append(keys, "weekday."+strconv.Itoa(n), "weekday.short."+strconv.Itoa(n))
	}
	c := catalogue(t, English)
	for _, k := range append(keys, quantity.ParseErrorKeys()...) {
		if !c.Has(k) {
			t.Errorf("en.txt has no %s", k)
		}
	}
}

// said is a Say("key", "name", value, ...) in the program's sources.
type said struct {
	at    token.Position
	key   string
	names []string // of the arguments; nil where they are not all literals
	keyed bool     // a Key("...") of this package, without arguments of its own
}

func TestWhatTheProgramSaysHasATextAndItsArguments(t *testing.T) {
	c, seen := catalogue(t, English), 0
	for _, s := range sayings(t, "../..") {
		seen++
		m, ok := c.messages[s.key]
		if !ok {
			t.Errorf("%v: no text for %q", s.at, s.key)
			continue
		}
		for _, p := range m.places() {
			if !s.keyed && s.names != nil && !strings.Contains(p, "|") && !slices.Contains(s.names, p) {
				t.Errorf("%v: %s needs the argument %s, given are %q", s.at, s.key, p, s.names)
			}
		}
	}
	if seen == 0 {
		t.Error("no Say was found in the sources")
	}
}

func sayings(t *testing.T, root string) []said {
	var all []said
	files := token.NewFileSet()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		f, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
		if err != nil {
			return nil // the compiler tells
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok {
				if s, ok := saying(call); ok {
					s.at = files.Position(call.Pos())
					all = append(all, s)
				}
			}
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// saying recognises x.Say("key", ...) and words.Key("key").
func saying(call *ast.CallExpr) (s said, ok bool) {
	sel, isSel := call.Fun.(*ast.SelectorExpr)
	if !isSel || len(call.Args) == 0 {
		return s, false
	}
	from, _ := sel.X.(*ast.Ident)
	s.keyed = sel.Sel.Name == "Key" && from != nil && from.Name == "words"
	if sel.Sel.Name != "Say" && !s.keyed {
		return s, false
	}
	if s.key, ok = literal(call.Args[0]); !ok || call.Ellipsis.IsValid() || len(call.Args) == 2 {
		return s, ok // arguments that can't be seen here
	}
	s.names = []string{}
	for i := 1; i < len(call.Args); i += 2 {
		name, ok := literal(call.Args[i])
		if !ok {
			s.names = nil
			return s, true
		}
		s.names = append(s.names, name)
	}
	return s, true
}

func literal(e ast.Expr) (string, bool) {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(l.Value)
	return s, err == nil
}

func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"a":                             "want key = text",
		"a =":                           "want key = text",
		"a b = c":                       "want key = text",
		"a = b\na = c":                  "stands twice",
		"a = {b":                        "braces do not match",
		"a = b}":                        "braces do not match",
		"a = {}":                        "has no name",
		"a = {n|one:x}":                 "chooses between",
		"a = {n|one:x|few:y|other:z}":   "chooses between", // not English
		"a = {n|drum:x|tank:y}":         "other last",
		"a = {n|drum}":                  "want when:text",
		"a = {n|one:{x|other:y}":        "braces do not match",
		"# c\n\na = {n|one:x|other:{}}": "line 3",
	} {
		if _, err := parse(English, text); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("parse(%q): %v, want %q", text, err, want)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add("a = {n|one:jar {x}|other:jars}\n# c\nb.c = {kind|drum:x|other:y}")
	f.Fuzz(func(t *testing.T, text string) {
		m, err := parse(English, text)
		if err != nil {
			return
		}
		for k := range m { // whatever parses can be said
			c := &Catalogue{lang: English, messages: m}
			c.Say(k, "n", 1, "kind", "drum")
		}
	})
}
