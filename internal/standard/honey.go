package standard

import "fmt"

// Kind is what bees made the honey of, as far as limits depend on it.
type Kind uint8

const (
	KindNotSaid   Kind = iota
	Blossom            // nectar
	Honeydew           // honeydew
	HoneydewBlend      // honeydew with blossom
)

// Plant is a plant that a limit names. The zero Plant is any other one.
type Plant uint8

const (
	OtherPlant Plant = iota
	FalseAcacia
	Alfalfa
	MenziesBanksia
	FrenchHoneysuckle
	RedGum // a eucalyptus, so with that genus' conductivity
	Leatherwood
	Citrus
	Lavender
	Borage
	Chestnut
	StrawberryTree
	BellHeather // Erica
	Eucalyptus
	Lime        // Tilia
	LingHeather // Calluna: the heather of the moisture limits
	Manuka      // and jelly bush
	TeaTree
)

// A Honey is what a honey is, or is to be sold as, where a limit depends on it.
type Honey struct {
	Kind      Kind
	Plant     Plant
	Cooking   bool // sold as baker's honey
	Pressed   bool
	Tropical  bool // declared as of tropical origin, or a blend of such
	LowEnzyme bool // low natural enzyme content, as some citrus
	Grade     Grade
}

// LimitOf gives the limit on a property of a honey. eu and de: Directive
// 2001/110/EC Annex II (read, but for HMF of tropical origin); codex: CXS
// 12-1981 (memory; free acid, diastase and conductivity are its voluntary
// annex); us: the voluntary grades, by h.Grade. HMF and diastase hold after
// processing and blending.
func LimitOf(r Rules, p Property, h Honey) (Limit, error) {
	switch {
	case (r == EU || r == DE) && p <= HMF:
		return euLimit(p, h)
	case r == Codex && p <= HMF:
		return codexLimit(p, h)
	case r == US:
		return gradeLimit(p, h.Grade)
	}
	return Limit{}, noRule(r, "limit on "+p.String(), "choose eu or codex for composition, us for grades")
}

const annexII = "Annex II"

func euLimit(p Property, h Honey) (Limit, error) {
	l := Limit{Property: p, Bound: Max, Cite: Cite{EUHoney, annexII, Read}}
	if err := needsKind(p, h); err != nil {
		return Limit{}, err
	}
	switch p {
	case Moisture:
		l.Value = euMoisture(h)
	case FreeAcid:
		l.Value = 50
		if h.Cooking {
			l.Value = 80
		}
	case Diastase, HMF:
		if h.Cooking {
			l.Bound = Unbounded
			return l, nil
		}
		common(&l, h)
		if p == Diastase && h.LowEnzyme {
			l.HMFMax = 15
		}
	default:
		common(&l, h)
	}
	return l, nil
}

func euMoisture(h Honey) float64 {
	switch heather := h.Plant == LingHeather; {
	case h.Cooking && heather:
		return 25
	case h.Cooking || heather:
		return 23
	}
	return 20
}

func codexLimit(p Property, h Honey) (Limit, error) {
	if h.Cooking {
		return Limit{}, noRule(Codex, "limit for cooking honey", "choose eu")
	}
	l := Limit{Property: p, Bound: Max, Cite: Cite{CodexHoney, "section 3", Memory}}
	if err := needsKind(p, h); err != nil {
		return Limit{}, err
	}
	switch p {
	case Moisture:
		l.Value = euMoisture(h)
	case FreeAcid:
		l.Value, l.Cite.Place = 50, "annex (voluntary)"
	case Diastase, HMF, Conductivity:
		l.Cite.Place = "annex (voluntary)"
		common(&l, h)
	default:
		common(&l, h)
	}
	return l, nil
}

// common are the figures that the Union and Codex share.
func common(l *Limit, h Honey) {
	switch l.Property {
	case Sugars:
		l.Bound, l.Value = Min, 60
		if h.Kind != Blossom {
			l.Value = 45
		}
	case Sucrose:
		l.Value = sucrose(h.Plant)
	case Insolubles:
		l.Value = 0.1
		if h.Pressed {
			l.Value = 0.5
		}
	case Conductivity:
		conductivity(l, h)
	case Diastase:
		l.Bound, l.Value = Min, 8
		if h.LowEnzyme {
			l.Value = 3
		}
	case HMF:
		l.Value = 40
		if h.Tropical {
			l.Value, l.Cite.Got = 80, Memory
		}
	}
}

func sucrose(p Plant) float64 {
	switch p {
	case FalseAcacia, Alfalfa, MenziesBanksia, FrenchHoneysuckle, RedGum, Leatherwood, Citrus:
		return 10
	case Lavender, Borage:
		return 15
	}
	return 5
}

// conductivity reads "honeydew, chestnut and their blends" as any blend with
// them, but for blends with the exempt plants, which have no limit either way.
func conductivity(l *Limit, h Honey) {
	l.Value = 0.8
	switch h.Plant {
	case StrawberryTree, BellHeather, Eucalyptus, RedGum, Lime, LingHeather, Manuka, TeaTree:
		l.Bound, l.Value = Unbounded, 0
	case Chestnut:
		l.Bound = Min
	default:
		if h.Kind != Blossom {
			l.Bound = Min
		}
	}
}

// needsKind refuses to guess whether a honey is blossom or honeydew.
func needsKind(p Property, h Honey) error {
	if h.Kind > HoneydewBlend || h.Plant > TeaTree {
		return fmt.Errorf("honey of kind %d, plant %d: %w", h.Kind, h.Plant, ErrNoRule)
	}
	named := p == Conductivity && (h.Plant >= Chestnut || h.Plant == RedGum)
	if (p == Sugars || p == Conductivity) && h.Kind == KindNotSaid && !named {
		return fmt.Errorf("limit on %s depends on the kind; say blossom, honeydew or a blend of both: %w", p, ErrNoRule)
	}
	return nil
}

// JudgeDiastase judges the diastase number of a honey, which for one of low
// natural enzyme content hangs on HMF too: at least 8, or at least 3 with HMF
// at most 15 mg/kg (Directive 2001/110/EC Annex II).
func JudgeDiastase(r Rules, h Honey, diastase, hmf Reading) (Verdict, error) {
	low := h.LowEnzyme
	h.LowEnzyme = false
	l, err := LimitOf(r, Diastase, h)
	if err != nil {
		return CantSay, err
	}
	plain, _, err := l.Judge(diastase)
	if err != nil || !low || plain.Passes() {
		return plain, err
	}
	h.LowEnzyme = true
	if l, err = LimitOf(r, Diastase, h); err != nil {
		return CantSay, err
	}
	v, _, err := l.Judge(diastase)
	if err != nil || l.HMFMax == 0 {
		return v, err
	}
	with, _, err := Limit{Property: HMF, Bound: Max, Value: l.HMFMax, Cite: l.Cite}.Judge(hmf)
	return either(plain, both(v, with)), err
}

// both holds if each of two conditions holds.
func both(a, b Verdict) Verdict {
	switch {
	case a == Breach || b == Breach:
		return Breach
	case a == CantSay || b == CantSay:
		return CantSay
	case a == TooClose || b == TooClose:
		return TooClose
	}
	return max(a, b)
}

// either holds if one of two ways holds.
func either(a, b Verdict) Verdict {
	switch {
	case a.Passes():
		return a
	case b.Passes() || a == Breach:
		return b
	case b == Breach || a == b:
		return a
	}
	return TooClose // one can't be said, the other is too close
}
