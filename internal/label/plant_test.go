package label

import (
	"slices"
	"strings"
	"testing"

	"combline/internal/answer"
	"combline/internal/standard"
)

// Names of plants in the three languages: common trade words, no source. Limits by plant:
// Directive 2001/110/EC Annex II.
func TestPlantNames(t *testing.T) {
	for typed, want := range map[string]string{"lime": "lime", "Lime honey": "lime", "LINDEN": "lime", "miel de tilo": "lime", "Miód lipowy": "lime",
		"honeydew": "honeydew", "honey-dew": "honeydew", "miód spadziowy": "honeydew", "mielada": "honeydew", "CASTAÑO": "chestnut", "castano": "chestnut",
		"ling-heather": "ling-heather", "Kasztanowy": "chestnut", "rzepak": "rape", "Miel de azahar": "citrus", "árbol del té": "tea-tree"} {
		if p, ok := PlantNamed(typed); !ok || p.Key != want {
			t.Errorf("%q is %q, want %q", typed, p.Key, want)
		}
	}
	for _, typed := range []string{"", "honey", "miel", "summer", "limestone", "¤"} {
		if p, ok := PlantNamed(typed); ok {
			t.Errorf("%q is %q", typed, p.Key)
		}
	}
	for name, want := range map[string]string{"Lime honey": "Lime", "Miel de tilo y romero": "tilo|romero", "Summer honey": "", "Forest honey": "", "Black locust & lime": "Black locust|lime", "Blossom honey": ""} {
		if got := strings.Join(PlantsIn(name), "|"); got != want {
			t.Errorf("%q names %q, want %q", name, got, want)
		}
	}
	seen := map[string]bool{}
	for _, row := range strings.Split(strings.TrimSpace(plantsCSV), "\n")[1:] {
		key, names, _ := strings.Cut(row, ",")
		if _, ok := plantOf(key); !ok {
			t.Errorf("%s is no plant", key)
		}
		for _, n := range strings.Split(names, "|") {
			if seen[plain(n)] {
				t.Errorf("%q stands twice", n)
			}
			seen[plain(n)] = true
		}
	}
}

// Conductivity of honeydew at least, of blossom at most 0.8 mS/cm; lime, heathers and
// others have no limit: Directive 2001/110/EC Annex II. Judged by chance at 1 in 20, the
// normal law.
func TestPlantLimitsByChance(t *testing.T) {
	for _, c := range []struct {
		plant     string
		value, sd float64
		want      standard.Verdict
	}{
		{"honeydew", 1.04, 0.03, standard.Pass}, {"honeydew", 0.82, 0.03, standard.TooClose}, {"honeydew", 0.41, 0.02, standard.Breach},
		{"acacia", 0.20, 0.01, standard.Pass}, {"acacia", 0.81, 0.03, standard.TooClose}, {"acacia", 1.04, 0.03, standard.Breach},
		{"chestnut", 1.2, 0.03, standard.Pass}, {"chestnut", 0.5, 0.03, standard.Breach},
		{"lime", 0.62, 0.03, standard.NoLimit}, {"ling heather", 1.9, 0.03, standard.NoLimit},
		{"a plant of no name", 1.04, 0.03, standard.Breach}, {"honeydew", 0.8, 0, standard.AtLimit},
	} {
		checks := PlantChecks(standard.EU, c.plant, []Measured{{standard.Conductivity, standard.ReadingOf(c.value, c.sd)}})
		if checks[0].Property != standard.Conductivity || checks[0].Verdict != c.want {
			t.Errorf("%s %g ± %g: %v, want %v", c.plant, c.value, c.sd, checks[0].Verdict, c.want)
		}
	}
	if c := PlantChecks(standard.US, "honeydew", nil)[0]; c.Verdict != standard.CantSay || c.Limit.Value != 0.8 {
		t.Errorf("unread: %+v", c)
	}
}

// A plant in the name is held against the record without anybody asking.
func TestPlantInTheName(t *testing.T) {
	w, h := wish()
	for _, name := range []string{"Lime honey", "Miel de tilo", "Miód lipowy"} {
		w.Name = name
		if l := made(t, w, h); !slices.Contains(l.keys(answer.Bad), "label.plant-not-recorded") {
			t.Errorf("%q: %v", name, l.keys(answer.Bad))
		}
	}
	h.Plants = []Mass{{"miód lipowy", 700}, {"clover", 300}}
	h.Taste, h.Pollen, h.Measured = Yes, Yes, []Measured{{standard.Conductivity, standard.ReadingOf(0.62, 0.02)}}
	if l := made(t, w, h); !l.Ready() {
		t.Errorf("lime with everything that bears it out: %v", l.keys(answer.Bad))
	}
}

// What the printer can't draw is said, never left to an empty box.
func TestWhatCantBeDrawn(t *testing.T) {
	w, h := wish()
	w.Draws = func(r rune) bool { return r < 0x250 }
	w.Name = "Zo\u0301łty miód" // composes to ó, which is drawn
	if l := made(t, w, h); !l.Ready() {
		t.Errorf("%v", l.keys(answer.Bad))
	}
	w.Name, w.Texts, w.Country = "蜂蜜 عسل", []string{"дом"}, map[string]string{"VM": "Βέλμαρκ", "OS": "Ostrana"}
	l := made(t, w, h)
	var parts []Part
	for _, f := range l.Findings {
		if f.Key == "label.cannot-draw" {
			parts = append(parts, f.Part)
		}
	}
	if !slices.Equal(parts, []Part{NamePart, TextPart, OriginPart}) || l.Ready() {
		t.Errorf("found in %v", parts)
	}
}
