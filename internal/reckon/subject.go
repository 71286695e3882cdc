package reckon

import (
	"slices"
	"strings"

	"combline/internal/quantity"
)

// A Subject is one question that can be asked.
type Subject struct {
	Name    string
	Help    string // one line
	Model   string // key of the model in package honey that has range, doubt and source; "" if a rule answers
	Range   string // where there is no model
	Doubt   string // the same
	Source  string // the same
	Caution string // what to bear in mind
	About   string // paragraphs for the docs and the help, where a line is not enough
	Example string // flags whose answer stands in the docs
	Inputs  []Input
	Answers []Answer

	answer func(*Query) error
}

// Kind says what stands in a cell.
type Kind uint8

const (
	Number Kind = iota
	Count       // a whole number
	Word        // one of a few
	Truth       // yes or no
	Text        // anything
	File        // what a file holds: its name, - for standard input, or the text itself if it begins with a brace
	Rows        // a table: of an answer only
)

// Need says whether an input must be given.
type Need uint8

const (
	Required Need = iota
	Optional
	Either // at least one of those that are Either
)

// An Input is a figure or word that a question needs. Its name is the column's;
// the flag's has hyphens instead of underscores.
type Input struct {
	Name  string
	Help  string
	Kind  Kind
	Need  Need
	Unit  quantity.Unit // of a Number, taken when none is typed
	Words []string      // of a Word
}

// An Answer is one column of the answer.
type Answer struct {
	Name   string
	Help   string
	Kind   Kind
	Unit   string // as printed
	Digits int    // significant digits that people are shown; 0: to the milligram
}

// Flag is the input's flag.
func (i Input) Flag() string { return "--" + strings.ReplaceAll(i.Name, "_", "-") }

func (i Input) optional() Input { i.Need = Optional; return i }
func (i Input) either() Input   { i.Need = Either; return i }

func number(name string, u quantity.Unit, help string) Input {
	return Input{Name: name, Unit: u, Help: help}
}

func count(name, help string) Input {
	return Input{Name: name, Kind: Count, Unit: quantity.Each, Help: help}
}

func word(name, help string, words ...string) Input {
	return Input{Name: name, Kind: Word, Words: words, Help: help}
}

func truth(name, help string) Input {
	return Input{Name: name, Kind: Truth, Words: yesNo(), Help: help}
}

func text(name, help string) Input { return Input{Name: name, Kind: Text, Help: help} }

func yesNo() []string { return []string{"yes", "no"} }

// gives is a column of figures.
func gives(name, unit string, digits int, help string) Answer {
	return Answer{Name: name, Unit: unit, Digits: digits, Help: help}
}

// counts is a column of whole numbers.
func counts(name, help string) Answer { return Answer{Name: name, Kind: Count, Help: help} }

// says is a column of words.
func says(name, help string) Answer { return Answer{Name: name, Kind: Word, Help: help} }

// whether is a column of yes and no.
func whether(name, help string) Answer { return Answer{Name: name, Kind: Truth, Help: help} }

// names lists the inputs of one need.
func (s *Subject) names(n Need) []string {
	var names []string
	for _, in := range s.Inputs {
		if in.Need == n {
			names = append(names, in.Name)
		}
	}
	return names
}

// The inputs that many subjects share.
func waterPct() Input { return number("water_pct", quantity.Pct, "water in the honey, % of mass") }

func tempC() Input { return number("temp_c", quantity.DegC, "temperature of the honey, °C") }

func labelG() Input { return number("label_g", quantity.G, "net mass on the label, g") }

func rulesOf(words ...string) Input {
	return word("rules", "whose rules: "+strings.Join(words, ", "), words...)
}

// Subjects lists every subject in the order of the docs.
func Subjects() []Subject {
	return slices.Concat(waterSubjects(), bodySubjects(), heatSubjects(), warmSubjects(), keepingSubjects(), shelfSubjects(), colourSubjects(),
		mixSubjects(), blendSubjects(), foodSubjects(), limitSubjects(), contentsSubjects(), batchSubjects(), chartSubjects(), fillingSubjects(), scaleSubjects(), labelSubjects(), originSubjects(), codeSubjects(), flowSubjects())
}

// Find gives a subject by its name.
func Find(name string) (*Subject, error) {
	all := Subjects()
	names := make([]string, len(all))
	for i := range all {
		if all[i].Name == name {
			return &all[i], nil
		}
		names[i] = all[i].Name
	}
	return nil, &UsageError{"no subject " + quoted(name) + nearest(name, names) + "; combline reckon --list lists them"}
}
