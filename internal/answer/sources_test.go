package answer_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// spoken are the packages whose sources hold keys, and keyed what a key looks like.
var (
	spoken = []string{"goods", "house", "office", "quantity", "record", "standard", "trace", "yard"}
	keyed  = regexp.MustCompile(`^(ask|balance|boxes|cell|day|due|goods|history|keep|missing|move|next|odd|preview|pull|refused|` +
		`slip|status|stock|thing|trace|warm|yard)\.[a-z][a-z_.-]*[a-z]$`)
)

// Figures that a key is given where its sentence is put together from parts.
var (
	houseFlag = []string{"also", "of"}
	yardFlag  = []string{"boxes", "lot", "most", "of", "site", "why"}
	goodsFlag = []string{"batch", "cases", "dispatch", "most", "of", "order", "units"}
	gap       = []string{"doubt", "gap", "of", "percent", "rule"}
)

// sourcesNeed reads the sources for every key that stands in them.
func sourcesNeed(t *testing.T) (all []need) {
	for _, dir := range spoken {
		paths, err := filepath.Glob(filepath.Join("..", dir, "*.go"))
		if err != nil || len(paths) == 0 {
			t.Fatalf("no sources of %s: %v", dir, err)
		}
		for _, path := range paths {
			if !strings.HasSuffix(path, "_test.go") {
				all = append(all, sourceNeeds(t, path)...)
			}
		}
	}
	if len(all) < 100 {
		t.Errorf("only %d keys were found in the sources", len(all))
	}
	return all
}

func sourceNeeds(t *testing.T, path string) (all []need) {
	files := token.NewFileSet()
	f, err := parser.ParseFile(files, path, nil, parser.SkipObjectResolution)
	if err != nil {
		return nil // the compiler tells
	}
	settings := settingsIn(f)
	ast.Inspect(f, func(n ast.Node) bool {
		var found []need
		switch n := n.(type) {
		case *ast.FuncDecl:
			if n.Name.Name == "verdict" {
				found = shortToo(literalsIn(n), gap)
			}
		case *ast.CallExpr:
			found = callNeeds(n)
		case *ast.CompositeLit:
			found = literalNeeds(n)
		case *ast.BasicLit:
			if key, ok := text(n); ok && keyed.MatchString(key) && !settings[n] {
				found = partNeeds(filepath.Base(filepath.Dir(path)), key)
			}
		}
		for i := range found {
			found[i].at = files.Position(n.Pos()).String()
		}
		all = append(all, found...)
		return true
	})
	return all
}

// partNeeds are the texts for a key wherever it stands, with the figures that its
// kind is always given.
func partNeeds(dir, key string) []need {
	switch prefix, _, _ := strings.Cut(key, "."); prefix {
	case "yard":
		return shortToo([]string{key}, yardFlag)
	case "goods":
		return shortToo([]string{key}, goodsFlag)
	case "pull":
		return word("", key)
	case "cell":
		return []need{{key, []string{"column", "typed", "want"}, true, ""}}
	case "missing":
		if dir == "house" || !strings.HasSuffix(key, "water") && !strings.HasSuffix(key, "place") {
			return []need{{"balance." + key, []string{"of"}, true, ""}}
		}
	}
	return []need{{key: key}}
}

// shortToo are the needs of sentences that also have a short form for a table.
func shortToo(keys, args []string) (all []need) {
	for _, k := range keys {
		all = append(all, need{k, args, true, ""}, need{k + ".short", nil, true, ""})
	}
	return all
}

// callNeeds are those of Say(key, Args{...}), refuse(key, next, Args{...}), a flag of
// the house, or a table with its columns.
func callNeeds(call *ast.CallExpr) (all []need) {
	var keys, plain []string
	for _, a := range call.Args {
		s, ok := text(a)
		switch {
		case ok && keyed.MatchString(s):
			keys = append(keys, s)
		case ok:
			plain = append(plain, s)
		}
	}
	switch name := called(call); {
	case name == "flag" && len(keys) == 1:
		return shortToo(keys, houseFlag)
	case name == "Table":
		if key, ok := text(call.Args[0]); ok {
			all, plain = word("", "table."+key), plain[1:]
		}
		for _, c := range plain {
			all = append(all, word("", "column."+c)...)
		}
	case name == "possible" && len(plain) == 1:
		all = word("", "table."+plain[0])
	case name == "refuse" || name == "ask" || name == "Say" || name == "Warn" || name == "Then":
		args, known := argNames(call.Args[len(call.Args)-1])
		for _, k := range keys {
			all = append(all, need{k, args, known, ""})
		}
	}
	return all
}

// literalNeeds are those of Line{Key, Args}, Refusal{Key, Args, Next}, Ask{Key, Args}
// and of tables and columns made without a call.
func literalNeeds(l *ast.CompositeLit) (all []need) {
	if id, ok := l.Type.(*ast.Ident); ok && id.Name == "CellError" {
		return nil // partNeeds knows its figures
	}
	fields := map[string]ast.Expr{}
	for _, e := range l.Elts {
		if kv, ok := e.(*ast.KeyValueExpr); ok {
			if id, ok := kv.Key.(*ast.Ident); ok {
				fields[id.Name] = kv.Value
			}
		}
	}
	args, known := argNames(fields["Args"])
	for _, name := range []string{"Key", "Next"} {
		switch key, ok := text(fields[name]); {
		case !ok:
		case keyed.MatchString(key):
			all = append(all, need{key, args, known, ""})
		case name == "Key" && fields["Columns"] != nil:
			all = append(all, word("", "table."+key)...)
		case name == "Key" && len(fields) == 1 && l.Type == nil: // in a list of columns
			all = append(all, word("", "column."+key)...)
		}
	}
	return all
}

// argNames are the names in Args{...}, or in the Args of inField, which adds two.
func argNames(e ast.Expr) (names []string, known bool) {
	switch e := e.(type) {
	case nil:
		return nil, true
	case *ast.Ident:
		return nil, e.Name == "nil"
	case *ast.CallExpr:
		if called(e) == "inField" {
			names, known = argNames(e.Args[1])
			return append(names, "column", "field"), known
		}
	case *ast.CompositeLit:
		for _, x := range e.Elts {
			kv, ok := x.(*ast.KeyValueExpr)
			if !ok {
				return nil, false
			}
			name, ok := text(kv.Key)
			if !ok {
				return nil, false
			}
			names = append(names, name)
		}
		return names, true
	}
	return nil, false
}

// settingsIn are the names of the house's settings: no keys, though they look alike.
func settingsIn(f *ast.File) map[ast.Node]bool {
	all := map[ast.Node]bool{}
	ast.Inspect(f, func(n ast.Node) bool {
		if call, ok := n.(*ast.CallExpr); ok && called(call) == "Setting" {
			all[call.Args[0]] = true
		}
		if d, ok := n.(*ast.FuncDecl); ok && d.Name.Name == "Rules" { // what can be set, by name
			ast.Inspect(d, func(n ast.Node) bool {
				if lit, ok := n.(*ast.BasicLit); ok {
					all[lit] = true
				}
				return true
			})
		}
		return true
	})
	return all
}

func called(call *ast.CallExpr) string {
	switch f := call.Fun.(type) {
	case *ast.SelectorExpr:
		return f.Sel.Name
	case *ast.Ident:
		return f.Name
	}
	return ""
}

func literalsIn(n ast.Node) (all []string) {
	ast.Inspect(n, func(n ast.Node) bool {
		if e, ok := n.(ast.Expr); ok {
			if s, ok := text(e); ok {
				all = append(all, s)
			}
		}
		return true
	})
	return all
}

func text(e ast.Expr) (string, bool) {
	l, ok := e.(*ast.BasicLit)
	if !ok || l.Kind != token.STRING {
		return "", false
	}
	s, err := strconv.Unquote(l.Value)
	return s, err == nil
}
