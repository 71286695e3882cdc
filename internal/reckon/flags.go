package reckon

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"combline/internal/quantity"
)

// options are what the arguments after "reckon" ask for.
type options struct {
	subject *Subject
	flags   []typedFlag
	csv     bool
	json    bool
	list    bool
	help    bool
}

// A typedFlag is one input as typed.
type typedFlag struct{ name, value string }

func readOptions(args []string) (options, error) {
	var o options
	for len(args) > 0 {
		arg := args[0]
		args = args[1:]
		name, value, joined := strings.Cut(arg, "=")
		switch {
		case arg == "--csv":
			o.csv = true
		case arg == "--json":
			o.json = true
		case arg == "--list":
			o.list = true
		case arg == "--help" || arg == "-h":
			o.help = true
		case !strings.HasPrefix(arg, "-") && o.subject == nil:
			s, err := Find(arg)
			if err != nil {
				return o, err
			}
			o.subject = s
		case !strings.HasPrefix(arg, "--"):
			return o, &UsageError{"unexpected argument " + quoted(arg) + ": figures follow a flag, such as --temp-c 25"}
		case !joined && len(args) == 0:
			return o, &UsageError{name + " needs a value"}
		case !joined:
			value, args = args[0], args[1:]
			fallthrough
		default:
			o.flags = append(o.flags, typedFlag{name, value})
		}
	}
	return o, o.check()
}

// check refuses flags that the subject does not know.
func (o *options) check() error {
	for _, f := range o.flags {
		if o.subject == nil {
			return &UsageError{f.name + " stands without a subject; combline reckon --list lists them"}
		}
		if _, err := o.subject.flag(f.name); err != nil {
			return err
		}
	}
	if o.csv && len(o.flags) > 0 && o.subject.rows() < 0 {
		return &UsageError{o.flags[0].name + ": with --csv the figures come from the table; give it as a column"}
	}
	return nil
}

func (s *Subject) flag(name string) (int, error) {
	names := make([]string, len(s.Inputs))
	for i := range s.Inputs {
		if names[i] = s.Inputs[i].Flag(); names[i] == name {
			return i, nil
		}
	}
	return 0, &UsageError{fmt.Sprintf("unknown flag %s%s; %s takes %s", name, nearest(name, names), s.Name, strings.Join(names, ", "))}
}

// longestInput bounds what a flag takes from standard input: the weights of a million
// jars.
const longestInput = 16 << 20

// fromInput puts standard input in the place of "-", for a flag that takes any text.
func (o *options) fromInput(in io.Reader) error {
	taken := ""
	for k := range o.flags {
		f := &o.flags[k]
		i, err := o.subject.flag(f.name)
		if err != nil {
			return err
		}
		kind := o.subject.Inputs[i].Kind
		if kind == File && f.value != "-" {
			if err := f.fromFile(); err != nil {
				return err
			}
		}
		if f.value != "-" || kind != Text && kind != File {
			continue
		}
		if taken != "" {
			return &UsageError{taken + " and " + f.name + " can't both be standard input"}
		}
		text, err := io.ReadAll(io.LimitReader(in, longestInput+1))
		if err != nil {
			return err
		}
		if len(text) > longestInput {
			return &UsageError{fmt.Sprintf("%s: standard input has more than %d bytes", f.name, longestInput)}
		}
		taken, f.value = f.name, strings.TrimPrefix(string(text), bom)
	}
	return nil
}

// tableFromInput takes standard input for the file of a subject that answers with rows,
// where --csv was asked for and nothing tells otherwise.
func (o *options) tableFromInput() {
	for i := range o.subject.Inputs {
		in := &o.subject.Inputs[i]
		if in.Kind != File {
			continue
		}
		for _, f := range o.flags {
			if k, err := o.subject.flag(f.name); err == nil && (k == i || in.Need == Either && o.subject.Inputs[k].Need == Either) {
				return
			}
		}
		o.flags = append(o.flags, typedFlag{in.Flag(), "-"})
		return
	}
}

// fromFile puts what a file holds in the place of its name. Text that begins with a
// brace or has several lines is taken as it is.
func (f *typedFlag) fromFile() error {
	if strings.HasPrefix(strings.TrimSpace(f.value), "{") || strings.Contains(f.value, "\n") || f.value == "" {
		return nil
	}
	in, err := os.Open(f.value)
	if err != nil {
		return &UsageError{fmt.Sprintf("%s: %s can't be opened: %v", f.name, quoted(f.value), errors.Unwrap(err))}
	}
	defer in.Close()
	text, err := io.ReadAll(io.LimitReader(in, longestInput+1))
	if err != nil {
		return &UsageError{fmt.Sprintf("%s: %s can't be read: %v", f.name, quoted(f.value), err)}
	}
	if len(text) > longestInput {
		return &UsageError{fmt.Sprintf("%s: %s has more than %d bytes", f.name, quoted(f.value), longestInput)}
	}
	f.value = strings.TrimPrefix(string(text), bom)
	return nil
}

// read takes the inputs from flags.
func (q *Query) read(flags []typedFlag) error {
	for _, f := range flags {
		i, err := q.subject.flag(f.name)
		if err != nil {
			return err
		}
		if q.in[i].given {
			return &UsageError{f.name + " is given twice"}
		}
		if strings.TrimSpace(f.value) == "" {
			return &UsageError{f.name + " is empty; leave the flag out if the figure is not known"}
		}
		if err := q.set(i, []byte(f.value), quantity.EitherSign); err != nil {
			return &UsageError{q.sentence(err)}
		}
	}
	if err := q.complete(); err != nil {
		return &UsageError{err.Error() + "; combline reckon " + q.subject.Name + " --help tells what it needs"}
	}
	return nil
}

// nearest suggests what may have been meant.
func nearest(typed string, names []string) string {
	best, least := "", 3 // more slips than two are another word
	for _, n := range names {
		if d := slips(typed, n); d < least {
			best, least = n, d
		}
	}
	if best == "" {
		return ""
	}
	return ", did you mean " + best + "?"
}

// slips counts the letters to change, add or drop from a to b (Levenshtein).
func slips(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		corner := row[0]
		row[0]++
		for j := range len(b) {
			change := corner
			if a[i] != b[j] {
				change++
			}
			corner = row[j+1]
			row[j+1] = min(change, row[j]+1, row[j+1]+1)
		}
	}
	return row[len(b)]
}
