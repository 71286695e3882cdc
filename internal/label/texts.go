package label

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"combline/internal/answer"
	"combline/internal/standard"

	"golang.org/x/text/unicode/norm"
)

// A Class is why a word may not stand on a label as it is.
type Class uint8

const (
	Cure     Class = iota // says that honey prevents, treats or cures: never
	Health                // a health claim: only authorised ones, and none is known
	Sugar                 // honey is sugar
	Filtered              // no description of honey any more
	Raw                   // needs the basis that the house can show
	Organic
	Local
	Pure // says nothing that other honey is not: misleading
	classes
)

var classNames = [classes]string{"cure", "health", "sugar", "filtered", "raw", "organic", "local", "pure"}

func (c Class) String() string { return classNames[c] }

//go:embed data/claims.csv
var claimsCSV string

// A claim is a word or several, folded; a stem where anything may follow.
type claim struct {
	language string
	words    []string
	stem     bool
	class    Class
}

// claims reads the list: words of health law and of the trade, in the label's
// languages. The list is ours, common practice, and never complete.
func claims() ([]claim, error) {
	var out []claim
	for i, row := range strings.Split(strings.TrimSpace(claimsCSV), "\n")[1:] {
		cells := strings.Split(row, ",")
		if len(cells) != 3 {
			return nil, fmt.Errorf("claim words, row %d: %d cells", i+2, len(cells))
		}
		class := slices.Index(classNames[:], cells[2])
		if class < 0 {
			return nil, fmt.Errorf("claim words, row %d: class %q", i+2, cells[2])
		}
		word, stem := strings.CutSuffix(cells[1], "*")
		words := strings.Fields(word)
		for j := range words {
			words[j] = fold(words[j])
		}
		out = append(out, claim{cells[0], words, stem, Class(class)})
	}
	return out, nil
}

// A Found is a claim in a text.
type Found struct {
	Text  string // the words as they were typed
	Class Class
}

// FindClaims looks for claim words in a text, in every language of the list: a word in
// a foreign tongue is a claim all the same. Capitals, accents, hyphens, hidden and
// look-alike letters, letters set apart or repeated, and one wrong letter of a long word
// make no difference.
func FindClaims(text string) ([]Found, error) {
	list, err := claims()
	if err != nil {
		return nil, err
	}
	typed, folded := split(text)
	var out []Found
	for at := range folded {
		best := -1
		for i, c := range list {
			if c.at(folded[at:]) && (best < 0 || len(c.words) > len(list[best].words) || c.class < list[best].class && len(c.words) == len(list[best].words)) {
				best = i
			}
		}
		if best >= 0 {
			f := Found{strings.Join(typed[at:at+len(list[best].words)], " "), list[best].class}
			if !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
	}
	return out, nil
}

func (c claim) at(words []string) bool {
	if len(words) < len(c.words) {
		return false
	}
	last := len(c.words) - 1
	for i, w := range c.words[:last] {
		if words[i] != w {
			return false
		}
	}
	for _, w := range []string{words[last], squeezed(words[last], 1), squeezed(words[last], 2)} {
		if w == c.words[last] || c.stem && strings.HasPrefix(w, c.words[last]) {
			return true
		}
	}
	return len(c.words) == 1 && c.stem && c.class <= Health && misspelt(words[0], c.words[0])
}

// squeezed takes letters that stand three times or more in a row down to so many.
func squeezed(w string, to int) string {
	var b strings.Builder
	letters := []rune(w)
	for i := 0; i < len(letters); {
		n := i
		for n < len(letters) && letters[n] == letters[i] {
			n++
		}
		k := n - i
		if k > 2 {
			k = to
		}
		b.WriteString(strings.Repeat(string(letters[i]), k))
		i = n
	}
	return b.String()
}

// misspelt reports whether a word begins with a stem of seven letters or more that has one
// letter wrong, missing, too many, or two exchanged.
func misspelt(word, stem string) bool {
	w, s := []rune(word), []rune(stem)
	if len(s) < 7 || len(w) < len(s)-1 {
		return false
	}
	i := 0
	for i < len(s) && i < len(w) && w[i] == s[i] {
		i++
	}
	if i == 0 { // another first letter is another word
		return false
	}
	begins := func(from, of int) bool {
		rest := string(s[min(of, len(s)):])
		return from <= len(w) && strings.HasPrefix(string(w[from:]), rest)
	}
	swapped := i+1 < len(s) && i+1 < len(w) && w[i] == s[i+1] && w[i+1] == s[i] && begins(i+2, i+2)
	return begins(i+1, i+1) || begins(i, i+1) || begins(i+1, i) || swapped
}

// split parts a text into words, as typed and folded. Hyphens within a word are taken
// out ("anti-bacterial"), and also tried as spaces ("cure-all").
func split(text string) (typed, folded []string) {
	for _, w := range strings.FieldsFunc(text, func(r rune) bool {
		return unicode.IsSpace(r) || strings.ContainsRune("/,;:!?()[]\"“”„«».·•|+&%", r)
	}) {
		whole := fold(w)
		if whole == "" {
			continue
		}
		typed, folded = append(typed, w), append(folded, whole)
		if parts := strings.FieldsFunc(w, func(r rune) bool { return r != '\u00ad' && unicode.Is(unicode.Pd, r) }); len(parts) > 1 {
			for _, p := range parts {
				if f := fold(p); f != "" {
					typed, folded = append(typed, p), append(folded, f)
				}
			}
		}
	}
	return apart(typed, folded)
}

// apart adds the words whose letters were set apart: "c u r e s".
func apart(typed, folded []string) ([]string, []string) {
	for i := 0; i < len(folded); {
		n := i
		for n < len(folded) && utf8.RuneCountInString(folded[n]) == 1 {
			n++
		}
		if n-i >= 4 {
			typed, folded = append(typed, strings.Join(typed[i:n], " ")), append(folded, strings.Join(folded[i:n], ""))
		}
		i = max(n, i+1)
	}
	return typed, folded
}

// alike are letters of other scripts that look like Latin ones, and the ones that
// decompose to nothing.
var alike = strings.NewReplacer("ł", "l", "ø", "o", "đ", "d", "ı", "i", "ß", "ss", "æ", "ae", "œ", "oe",
	"а", "a", "е", "e", "о", "o", "р", "p", "с", "c", "у", "y", "х", "x", "і", "i", "ѕ", "s", "ј", "j", "һ", "h", "ԁ", "d", "ӏ", "l",
	"α", "a", "ο", "o", "ν", "v", "ι", "i", "κ", "k", "ρ", "p", "τ", "t", "υ", "u", "χ", "x",
	"0", "o", "1", "l", "3", "e", "4", "a", "5", "s", "@", "a", "$", "s")

// fold takes a word down to plain small letters. Figures stand for the letters that
// they look like only within a word.
func fold(w string) string {
	var b strings.Builder
	letters := false
	for _, r := range norm.NFKD.String(strings.ToLower(w)) {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '@' || r == '$' {
			b.WriteRune(r)
			letters = letters || unicode.IsLetter(r)
		}
	}
	if !letters {
		return b.String()
	}
	return alike.Replace(b.String())
}

var noClaim = standard.Cite{Set: standard.EULabels, Place: "art. 7(3); Regulation (EC) 1924/2006 art. 10, 12", Got: standard.Memory}

// texts finds what a label must never say, in everything that was typed for it.
func (l *Label) texts(w Wish, t Tipped) {
	for _, text := range append([]string{w.Name, w.Plant, w.Region, w.Packer}, w.Texts...) {
		found, err := FindClaims(text)
		if err != nil {
			l.find(TextPart, answer.Bad, noClaim, "label.claims-unreadable", answer.Args{"why": err.Error()})
			return
		}
		for _, f := range found {
			l.claim(f, t)
		}
	}
	for _, text := range w.Texts {
		if text = strings.TrimSpace(text); text != "" {
			l.say(TextPart, noClaim, line("label.text", answer.Args{"text": text}))
		}
	}
}

func (l *Label) claim(f Found, t Tipped) {
	args := answer.Args{"word": f.Text}
	switch f.Class {
	case Cure, Health, Sugar, Filtered:
		l.find(TextPart, answer.Bad, noClaim, "label.never-"+classNames[f.Class], args)
	case Raw:
		l.basis(t.Unheated, "label.raw", args)
	case Organic:
		l.basis(t.Organic, "label.organic", args)
	case Local, Pure:
		l.find(TextPart, answer.Care, noClaim, "label."+classNames[f.Class], args)
	}
}

// basis lets a word stand only where the record shows what it says.
func (l *Label) basis(t Truth, key string, args answer.Args) {
	switch t {
	case Yes:
		l.find(TextPart, answer.Good, noClaim, key+"-shown", args)
	case No:
		l.find(TextPart, answer.Bad, noClaim, key+"-against", args)
	default:
		l.find(TextPart, answer.Bad, noClaim, key+"-no-basis", args)
	}
}
