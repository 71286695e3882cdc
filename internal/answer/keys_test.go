package answer_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
	"combline/internal/words"
	"combline/internal/yard"
)

// need is a text that the program says, at some place of its sources.
type need struct {
	key   string
	args  []string // given there
	known bool     // whether args are: not where they are put together elsewhere
	at    string
}

func word(at string, keys ...string) (all []need) {
	for _, k := range keys {
		all = append(all, need{key: k, known: true, at: at})
	}
	return all
}

// Every text that the sources name or put together is there in every language, and
// needs no figure that it is not given. The check is the catalogue's own: it marks a
// text or a figure that is missing.
func TestEverythingSaidHasItsTextAndFigures(t *testing.T) {
	needs := slices.Concat(kindsNeed(), fieldsNeed(), entitiesNeed(), honeyNeeds(), sourcesNeed(t))
	for _, l := range words.Languages() {
		c, err := words.For(l)
		if err != nil {
			t.Fatal(err)
		}
		for _, n := range needs {
			if !c.Has(n.key) {
				t.Errorf("%s.txt has no %s, said by %s", l, n.key, n.at)
				continue
			}
			if text := lacking(c, n); text != "" {
				t.Errorf("%s.txt: %s is given only %q by %s: %s", l, n.key, n.args, n.at, text)
			}
		}
	}
}

// lacking says n with figures of every plural form and returns a text that lacks one.
func lacking(c *words.Catalogue, n need) string {
	if !n.known {
		return ""
	}
	for _, v := range []any{int64(1), int64(2), int64(5), quantity.Figure{Mantissa: 15, Decimals: 1, Unit: quantity.Each}} {
		args := map[string]any{}
		for _, name := range n.args {
			args[name] = v
		}
		if text := c.Say(n.key, args); strings.Contains(text, words.Marker) {
			return text
		}
	}
	return ""
}

func kindsNeed() (all []need) {
	for _, k := range record.Kinds() {
		all = append(all, word("record.Kinds", k.Key())...)
	}
	for k := yard.Placed; k <= yard.Stored; k++ {
		all = append(all, word("yard.MoveKind", "move."+k.String())...)
	}
	for k := house.SiteNode; k <= house.SentNode; k++ {
		all = append(all, word("house.NodeKind", "node."+k.String())...)
	}
	return all
}

// fieldsNeed are the labels of every field, of the lists that they stand in, and of
// every choice.
func fieldsNeed() (all []need) {
	for _, k := range record.Kinds() {
		for _, f := range record.Schema(k) {
			at := k.String() + " " + f.Name
			for _, name := range strings.Split(f.Name, ".") {
				all = append(all, word(at, record.FieldKey(name))...)
			}
			for _, c := range f.Choices {
				all = append(all, word(at, record.ChoiceKey(c))...)
			}
		}
	}
	return all
}

func entitiesNeed() (all []need) {
	for e := record.NoEntity; e <= record.Paper; e++ {
		all = append(all, word("record.Entity", e.Key())...)
	}
	for k := record.Tank; k <= record.Sump; k++ {
		all = append(all, word("record.VesselKind", k.Key())...)
	}
	for k := record.Store; k <= record.PackRoom; k++ {
		all = append(all, word("record.PlaceKind", k.Key())...)
	}
	for k := record.Jar; k <= record.Bake; k++ {
		all = append(all, word("record.ProductKind", k.Key())...)
	}
	for k := record.Rinse; k <= record.Drained; k++ {
		all = append(all, word("record.CleanKind", k.Key())...)
	}
	for k := record.FaultFerment; k <= record.FaultOther; k++ {
		all = append(all, word("record.ComplaintClass", k.Key())...)
	}
	for k := record.PracticeRecall; k <= record.FullRecall; k++ {
		all = append(all, word("record.RecallKind", k.Key())...)
	}
	for k := record.LabelPaper; k <= record.PalletLabel; k++ {
		all = append(all, word("record.PaperKind", k.Key())...)
	}
	return all
}

func honeyNeeds() (all []need) {
	for p := record.Water; p <= record.Taste; p++ {
		all = append(all, word("record.Property", p.Key())...)
	}
	for c := record.CauseDisease; c <= record.CauseOther; c++ {
		all = append(all, word("record.Cause", c.Key())...)
	}
	for p := record.TableHoney; p <= record.Spread; p++ {
		all = append(all, word("record.Purpose", p.Key())...)
	}
	for s := quantity.NoSlip; s <= quantity.NetForGross; s++ {
		all = append(all, need{"slip." + s.String(), []string{"typed", "meant"}, true, "quantity.Slip"})
	}
	return all
}

// A key has no space, and no two names of one list share it.
func TestKeysTellNamesApart(t *testing.T) {
	seen := map[string]string{}
	for _, k := range record.Kinds() {
		seen[k.Key()] = k.String()
	}
	for e := record.NoEntity; e <= record.Paper; e++ {
		if other, twice := seen[e.Key()]; twice {
			t.Errorf("%s stands for %q and %q", e.Key(), other, e)
		}
		seen[e.Key()] = e.String()
	}
	for _, k := range slices.Sorted(maps.Keys(seen)) {
		if strings.ContainsAny(k, " _") {
			t.Errorf("key %q", k)
		}
	}
}
