package words

import (
	"fmt"
	"slices"
	"strings"
)

// A message is a text in pieces.
type message []piece

// A piece is plain text, the place of an argument, or a choice by one.
type piece struct {
	text    string
	arg     string
	choices []choice // sorted as written; the last is "other"
}

// A choice is the text for one plural form, or one word, of the argument.
type choice struct {
	when string
	text message
}

// forms are the plural forms that each language needs for counts and decimals,
// in the order of the Unicode CLDR plural rules.
func (l Lang) forms() []string {
	if l == Polish {
		return []string{"one", "few", "many", "other"}
	}
	return []string{"one", "other"}
}

// parse reads a catalogue: "key = text" lines, empty lines and # comments.
func parse(l Lang, text string) (map[string]message, error) {
	messages := map[string]message{}
	for i, line := range strings.Split(text, "\n") {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		key, body, ok := strings.Cut(line, "=")
		key, body = strings.TrimSpace(key), strings.TrimSpace(body)
		if !ok || !isKey(key) || body == "" {
			return nil, fmt.Errorf("line %d: %q, want key = text", i+1, line)
		}
		if _, twice := messages[key]; twice {
			return nil, fmt.Errorf("line %d: key %s stands twice", i+1, key)
		}
		m, err := parseMessage(l, strings.ReplaceAll(body, `\n`, "\n"))
		if err != nil {
			return nil, fmt.Errorf("line %d: %s: %w", i+1, key, err)
		}
		messages[key] = m
	}
	return messages, nil
}

func isKey(s string) bool {
	return s != "" && strings.IndexFunc(s, func(r rune) bool { return r <= ' ' || strings.ContainsRune("{}|", r) }) < 0
}

// parseMessage reads text with {name} and {name|when:text|...|other:text}.
func parseMessage(l Lang, text string) (message, error) {
	var m message
	for text != "" {
		open := strings.IndexAny(text, "{}")
		if open < 0 {
			return append(m, piece{text: text}), nil
		}
		if open > 0 {
			m = append(m, piece{text: text[:open]})
		}
		end := closing(text[open:])
		if end < 0 {
			return nil, fmt.Errorf("braces do not match in %q", text)
		}
		p, err := parsePlace(l, text[open+1:open+end])
		if err != nil {
			return nil, err
		}
		m, text = append(m, p), text[open+end+1:]
	}
	return m, nil
}

// closing finds the brace that closes the one at the start; -1 if none does.
func closing(s string) int {
	depth := 0
	for i, r := range s {
		switch r {
		case '{':
			depth++
		case '}':
			depth--
		}
		if depth <= 0 {
			if r == '}' && i > 0 {
				return i
			}
			return -1
		}
	}
	return -1
}

// parsePlace reads what stands between a pair of braces.
func parsePlace(l Lang, s string) (piece, error) {
	parts := splitChoices(s)
	p := piece{arg: parts[0]}
	if !isKey(p.arg) {
		return p, fmt.Errorf("{%s} has no name", s)
	}
	var whens []string
	for _, part := range parts[1:] {
		when, text, ok := strings.Cut(part, ":")
		if !ok {
			return p, fmt.Errorf("choice %q, want when:text", part)
		}
		m, err := parseMessage(l, text)
		if err != nil {
			return p, err
		}
		whens = append(whens, when)
		p.choices = append(p.choices, choice{when, m})
	}
	return p, l.checkChoices(p.arg, whens)
}

// splitChoices splits at the bars that are not inside an inner pair of braces.
func splitChoices(s string) []string {
	var parts []string
	depth, from := 0, 0
	for i, r := range s {
		switch {
		case r == '{':
			depth++
		case r == '}':
			depth--
		case r == '|' && depth == 0:
			parts = append(parts, s[from:i])
			from = i + 1
		}
	}
	return append(parts, s[from:])
}

// checkChoices wants either the plural forms of the language, in order, or
// words with "other" last.
func (l Lang) checkChoices(arg string, whens []string) error {
	if len(whens) == 0 || slices.Equal(whens, l.forms()) {
		return nil
	}
	plural := slices.ContainsFunc(whens, func(w string) bool { return w == "one" || w == "few" || w == "many" })
	if plural || len(whens) < 2 || whens[len(whens)-1] != "other" {
		return fmt.Errorf("{%s} chooses between %q, want %q, or words with other last", arg, whens, l.forms())
	}
	return nil
}

// places lists the arguments of m, each once, sorted; a choice by words is
// listed with its words, so that languages can be compared.
func (m message) places() []string {
	var names []string
	for _, p := range m {
		if p.arg == "" {
			continue
		}
		names = append(names, p.arg)
		for _, ch := range p.choices {
			names = append(names, ch.text.places()...)
			if !slices.Contains(Polish.forms(), ch.when) {
				names = append(names, p.arg+"|"+ch.when)
			}
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}
