package record

import (
	"errors"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"

	"combline/internal/quantity"
)

// A CellError says what is wrong with one cell of a row that was typed.
type CellError struct {
	Column string
	Typed  string
	Key    string // for package words: cell.choice, cell.day, ...; empty when Err is a *quantity.ParseError
	Want   string // what would be taken
	Err    error
}

func (e *CellError) Error() string {
	if e.Err != nil {
		return fmt.Sprintf("%s: %v", e.Column, e.Err)
	}
	return fmt.Sprintf("%s: %q is not taken here; want %s", e.Column, e.Typed, e.Want)
}

func (e *CellError) Unwrap() error { return e.Err }

// FromCells makes a fact of kind k from what was typed in named cells, as in a
// row of a table or the fields of a form. Lists have numbered names,
// "stacks.1.gross"; the number 1 may be left out. All that is wrong is returned,
// each a [*CellError]; a cell that the kind does not have is one of them.
func FromCells(k Kind, cells map[string]string, style quantity.NumberStyle) (Fact, []error) {
	row := &textRow{cells: cells, style: style, used: map[string]bool{}}
	fact := New(k)
	fact.fields(&form{mode: filling, row: row})
	for _, name := range sortedKeys(cells) {
		if !row.used[name] && strings.TrimSpace(cells[name]) != "" {
			row.errs = append(row.errs, &CellError{Column: name, Typed: cells[name], Key: "cell.column",
				Want: "a column of " + k.String()})
		}
	}
	if len(row.errs) == 0 {
		if err := Missing(fact); err != nil {
			row.errs = append(row.errs, err...)
		}
	}
	return fact, row.errs
}

// Missing lists the fields that the fact makes no sense without, each a [*CellError].
func Missing(fact Fact) []error {
	var errs []error
	Visit(fact, func(f Field) {
		if f.Need && !f.Given {
			errs = append(errs, &CellError{Column: f.Name, Key: "cell.missing", Want: string(f.Type)})
		}
	})
	return errs
}

type textRow struct {
	cells map[string]string
	style quantity.NumberStyle
	used  map[string]bool
	errs  []error
}

func (r *textRow) cell(name string) string {
	r.used[name] = true
	return strings.TrimSpace(r.cells[name])
}

func (r *textRow) refuse(name, typed, key, want string) {
	r.errs = append(r.errs, &CellError{Column: name, Typed: typed, Key: key, Want: want})
}

func (r *textRow) figure(name string, unit quantity.Unit) quantity.Figure {
	s := r.cell(name)
	if s == "" {
		return quantity.Figure{}
	}
	f, err := quantity.ParseFigure(s, quantity.Want{Unit: unit, Style: r.style})
	if err != nil {
		r.errs = append(r.errs, &CellError{Column: name, Typed: s, Err: err})
	}
	return f
}

func (r *textRow) how(name string) quantity.How {
	s := r.cell(name)
	if s == "" {
		return quantity.Typed
	}
	h, err := quantity.ParseHow(s)
	if err != nil {
		r.refuse(name, s, "cell.choice", "weighed, typed, estimated or calculated")
	}
	return h
}

func (r *textRow) count(name string) int64 {
	s := r.cell(name)
	if s == "" {
		return 0
	}
	n, err := strconv.ParseInt(s, 10, 64)
	if err != nil || n > 1<<40 || n < -1<<40 {
		r.refuse(name, s, "cell.count", "a whole number, such as 12")
	}
	return n
}

func (r *textRow) day(name string) Day {
	s := r.cell(name)
	if s == "" {
		return 0
	}
	d, err := ParseDay(s)
	if err != nil {
		r.refuse(name, s, "cell.day", "a day as 2026-09-30")
	}
	return d
}

func (r *textRow) choice(name string, names []string) uint8 {
	s := strings.ToLower(r.cell(name))
	if s == "" {
		return 0
	}
	for i, n := range names {
		if i > 0 && n == s {
			return uint8(i)
		}
	}
	r.refuse(name, s, "cell.choice", "one of "+strings.Join(names[1:], ", "))
	return 0
}

var codeRange = regexp.MustCompile(`^(.*?)(\d+)\s*\.\.\s*(.*?)(\d+)$`)

// codes reads "D001; D003..D006": codes apart by semicolons, runs by two dots.
func (r *textRow) codes(name string) []Code {
	s := r.cell(name)
	if s == "" {
		return nil
	}
	var all []Code
	for part := range strings.SplitSeq(s, ";") {
		part = strings.TrimSpace(part)
		m := codeRange.FindStringSubmatch(part)
		if m == nil {
			all = append(all, Code(part))
			continue
		}
		lo, err1 := strconv.Atoi(m[2])
		hi, err2 := strconv.Atoi(m[4])
		if err1 != nil || err2 != nil || m[1] != m[3] || len(m[2]) != len(m[4]) || hi < lo || hi-lo >= maxList {
			r.refuse(name, part, "cell.codes", "codes apart by semicolons, or a run as D001..D006")
			continue
		}
		for n := lo; n <= hi; n++ {
			all = append(all, Code(fmt.Sprintf("%s%0*d", m[1], len(m[2]), n)))
		}
	}
	return all
}

// fillEach reads members 1, 2, ... until one has no cell.
func fillEach[T any](f *form, name string, list *[]T, fields func(*form, *T)) {
	path := f.path
	defer func() { f.path = path }()
	for i := 1; ; i++ {
		f.path = fmt.Sprintf("%s%s.%d.", path, name, i)
		if !f.row.any(f.path) {
			if i > 1 {
				return
			}
			f.path = path + name + "." // one member needs no number
			if !f.row.any(f.path) {
				return
			}
		}
		var v T
		fields(f, &v)
		*list = append(*list, v)
		if f.path == path+name+"." {
			return
		}
	}
}

// any reports whether some cell's name starts with path and is filled.
func (r *textRow) any(path string) bool {
	for name, s := range r.cells {
		if strings.HasPrefix(name, path) && strings.TrimSpace(s) != "" {
			return true
		}
	}
	return false
}

// ErrNoTime means that a time is in no form that is known.
var ErrNoTime = errors.New("a time is written as 2026-09-30, 2026-09-30 14:05 or 14:05")

// ParseDay reads 2026-09-30.
func ParseDay(s string) (Day, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, ErrNoTime
	}
	return DayOf(t), nil
}

// ParseWhen reads "2026-09-30", "2026-09-30 14:05", "14:05" or RFC 3339 in the
// zone and on the day of now.
func ParseWhen(s string, now time.Time) (When, error) {
	s = strings.TrimSpace(s)
	if t, err := time.ParseInLocation("15:04", s, now.Location()); err == nil {
		y, m, d := now.Date()
		return At(time.Date(y, m, d, t.Hour(), t.Minute(), 0, 0, now.Location())), nil
	}
	if t, err := time.ParseInLocation(time.DateOnly, s, now.Location()); err == nil {
		return OnDay(t), nil
	}
	for _, layout := range []string{"2006-01-02 15:04", "2006-01-02T15:04", time.RFC3339} {
		if t, err := time.ParseInLocation(layout, s, now.Location()); err == nil {
			return At(t), nil
		}
	}
	return When{}, ErrNoTime
}

func sortedKeys(m map[string]string) []string { return slices.Sorted(maps.Keys(m)) }
