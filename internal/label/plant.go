package label

import (
	_ "embed"
	"math"
	"strings"
	"unicode"

	"combline/internal/answer"
	"combline/internal/quantity"
	"combline/internal/standard"
)

// A Plant is what honey is said to be of: a plant that limits name, or honeydew. Key is
// its name in words and settings.
type Plant struct {
	Key   string
	Honey standard.Honey
}

// plants in the order in which they are offered. Limits that name a plant: Directive
// 2001/110/EC Annex II.
var plants = []Plant{
	{"honeydew", standard.Honey{Kind: standard.Honeydew}},
	{"blossom", standard.Honey{Kind: standard.Blossom}},
	{"lime", standard.Honey{Kind: standard.Blossom, Plant: standard.Lime}},
	{"acacia", standard.Honey{Kind: standard.Blossom, Plant: standard.FalseAcacia}},
	{"chestnut", standard.Honey{Kind: standard.Blossom, Plant: standard.Chestnut}},
	{"ling-heather", standard.Honey{Kind: standard.Blossom, Plant: standard.LingHeather}},
	{"bell-heather", standard.Honey{Kind: standard.Blossom, Plant: standard.BellHeather}},
	{"lavender", standard.Honey{Kind: standard.Blossom, Plant: standard.Lavender}},
	{"citrus", standard.Honey{Kind: standard.Blossom, Plant: standard.Citrus}},
	{"borage", standard.Honey{Kind: standard.Blossom, Plant: standard.Borage}},
	{"alfalfa", standard.Honey{Kind: standard.Blossom, Plant: standard.Alfalfa}},
	{"eucalyptus", standard.Honey{Kind: standard.Blossom, Plant: standard.Eucalyptus}},
	{"strawberry-tree", standard.Honey{Kind: standard.Blossom, Plant: standard.StrawberryTree}},
	{"manuka", standard.Honey{Kind: standard.Blossom, Plant: standard.Manuka}},
	{"tea-tree", standard.Honey{Kind: standard.Blossom, Plant: standard.TeaTree}},
	{"rape", standard.Honey{Kind: standard.Blossom}},
	{"clover", standard.Honey{Kind: standard.Blossom}},
	{"dandelion", standard.Honey{Kind: standard.Blossom}},
	{"sunflower", standard.Honey{Kind: standard.Blossom}},
	{"buckwheat", standard.Honey{Kind: standard.Blossom}},
	{"thyme", standard.Honey{Kind: standard.Blossom}},
	{"rosemary", standard.Honey{Kind: standard.Blossom}},
	{"phacelia", standard.Honey{Kind: standard.Blossom}},
	{"raspberry", standard.Honey{Kind: standard.Blossom}},
	{"orchard", standard.Honey{Kind: standard.Blossom}},
}

// Plants lists them.
func Plants() []Plant { return append([]Plant(nil), plants...) }

//go:embed data/plants.csv
var plantsCSV string

// PlantNamed finds a plant by its name as people type it in English, Spanish or Polish,
// with or without the word honey.
func PlantNamed(text string) (Plant, bool) {
	typed := plain(text)
	if typed == "" {
		return Plant{}, false
	}
	for _, row := range strings.Split(strings.TrimSpace(plantsCSV), "\n")[1:] {
		key, names, _ := strings.Cut(row, ",")
		for _, name := range append(strings.Split(names, "|"), key) {
			if plain(name) == typed {
				return plantOf(key)
			}
		}
	}
	return Plant{}, false
}

func plantOf(key string) (Plant, bool) {
	for _, p := range plants {
		if p.Key == key {
			return p, true
		}
	}
	return Plant{}, false
}

// plantKey is a plant's key where the name is known, else the name made plain: what is
// alike for two names of one plant.
func plantKey(text string) string {
	if p, ok := PlantNamed(text); ok {
		return p.Key
	}
	return plain(text)
}

// PlantsIn lists the plants that a name of honey speaks of, as they stand in it. "Blossom"
// names none.
func PlantsIn(name string) (all []string) {
	typed := strings.FieldsFunc(name, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune(",;:/()&+", r) })
	for at := 0; at < len(typed); at++ {
		for n := min(3, len(typed)-at); n > 0; n-- {
			words := strings.Join(typed[at:at+n], " ")
			if p, ok := PlantNamed(words); ok && p.Key != "blossom" && len(strings.Fields(plain(words))) >= n {
				all = append(all, words)
				at += n - 1
				break
			}
		}
	}
	return all
}

// A PlantCheck is a limit that the honey of a plant has, and how what was read stands to
// it.
type PlantCheck struct {
	Key      string // of the property, in words
	Property standard.Property
	Limit    standard.Limit
	Reading  standard.Reading
	Verdict  standard.Verdict
	Break    float64 // chance that the limit is broken, where it was read
}

// PlantChecks holds what was read of a honey against the limits of a plant, by chance:
// conductivity, and fructose and glucose. A rule set without such limits is read as the
// Union's. A plant of an unknown name has the limits of blossom honey.
func PlantChecks(rules standard.Rules, plant string, read []Measured) (all []PlantCheck) {
	if rules != standard.EU && rules != standard.DE && rules != standard.Codex {
		rules = standard.EU
	}
	p, ok := PlantNamed(plant)
	if !ok {
		p.Honey.Kind = standard.Blossom
	}
	for _, x := range []PlantCheck{{Key: "property.conductivity", Property: standard.Conductivity}, {Key: "label.property.sugars", Property: standard.Sugars}} {
		limit, err := standard.LimitOf(rules, x.Property, p.Honey)
		if err != nil {
			continue
		}
		x.Limit = limit
		for _, m := range read {
			if m.Property == x.Property && m.Reading.Known {
				x.Reading = m.Reading
			}
		}
		if x.Verdict, x.Break, err = limit.Judge(x.Reading); err != nil {
			x.Verdict = standard.CantSay
		}
		if limit.Bound == standard.Unbounded {
			x.Verdict = standard.NoLimit
		}
		all = append(all, x)
	}
	return all
}

// Shown is the reading as a figure, to what its doubt lets one say; nil: not read.
func (p PlantCheck) Shown() any {
	if !p.Reading.Known {
		return nil
	}
	decimals := map[standard.Property]uint8{standard.Conductivity: 2, standard.Sugars: 1}[p.Property]
	return quantity.Figure{Mantissa: int64(math.Round(p.Reading.Value * math.Pow10(int(decimals)))), Decimals: decimals, Unit: p.Property.Unit()}
}

// Asked is the limit as a line; nil: there is none.
func (p PlantCheck) Asked() any {
	decimals := map[standard.Property]uint8{standard.Conductivity: 1}[p.Property]
	f := quantity.Figure{Mantissa: int64(math.Round(p.Limit.Value * math.Pow10(int(decimals)))), Decimals: decimals, Unit: p.Property.Unit()}
	switch p.Limit.Bound {
	case standard.Min:
		return answer.Line{Key: "label.at-least", Args: answer.Args{"limit": f}}
	case standard.Max:
		return answer.Line{Key: "label.at-most", Args: answer.Args{"limit": f}}
	}
	return nil
}

// honeyWords say only that it is honey.
var honeyWords = map[string]bool{"honey": true, "miel": true, "miod": true, "de": true, "z": true, "del": true, "la": true, "ze": true}

// plain is a name without capitals, accents, hyphens and the word honey.
func plain(text string) string {
	_, words := split(strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Pd, r) {
			return ' '
		}
		return r
	}, text))
	var kept []string
	for _, w := range words {
		if !honeyWords[w] {
			kept = append(kept, w)
		}
	}
	return strings.Join(kept, " ")
}

// PlantShare is how much of a honey is recorded as of a plant, and how much there is.
func PlantShare(all []Mass, plant string) (part, total quantity.Gram) {
	part, _, total = shareBy(all, plant, plantKey)
	return part, total
}

// Cite2001 is where the names of honey are ruled.
func Cite2001() standard.Cite { return honeyName }
