package standard

import "fmt"

// Got says how a figure came here.
type Got uint8

const (
	GotUnknown  Got = iota
	Read            // seen in a copy, a transposition or a published summary
	Memory          // recalled: confirm it before it becomes a legal claim
	Practice        // common practice or a calculation of the trade, no publication
	Computation     // follows from the rule's formula
)

var gotNames = [...]string{"unknown", "read", "memory", "practice", "computed"}

func (g Got) String() string {
	if int(g) >= len(gotNames) {
		return gotNames[GotUnknown]
	}
	return gotNames[g]
}

// Subject is what a rule set rules on.
type Subject uint8

const (
	NoSubject       Subject = iota
	HoneyLimits             // composition, cooking grade, grades
	NetContents             // tolerable errors, sampling, mean test
	FillTarget              // what to set a filler to
	ScaleErrors             // weighing instruments
	TestMasses              // test weights
	FillingMachines         // gravimetric filling instruments
	JarWeighing             // how well a jar must be weighed
	LabelSizes              // heights of figures and letters
	LotAndDate              // lot mark, date mark
	Nutrition               // energy factors and rounding
	OriginStatement         // countries and shares
	Codes                   // check digits
)

// Product is what the rules are asked about.
type Product uint8

const (
	TableHoney   Product = 1 << iota
	CookingHoney         // baker's honey
	HoneyGoods           // goods with honey as an ingredient
	anyHoney     = TableHoney | CookingHoney
	anyProduct   = anyHoney | HoneyGoods
)

// SetID numbers a rule set in this program; its ID string is for the books.
type SetID uint8

const (
	NoSet SetID = iota
	EUHoney
	CodexHoney
	USGrades
	EUContents
	UKContents
	DEContents
	OIMLContents
	USContents
	UKGuidance
	DETarget
	TradeSetting
	OIMLScales
	OIMLMasses
	OIMLFillers
	EUWeighing
	USWeighing
	EULabels
	EUFigures
	UKFigures
	USLabels
	EULotAndDate
	EUNutrition
	EURounding
	USNutrition
	EUOrigin2001
	EUOrigin2024
	GS1Keys
	setCount // keep last
)

// A Set is one edition of one publication's rules on one subject. A rule set is
// never changed in place: a new edition is a new set with its own dates.
type Set struct {
	ID       string // stable key for the books
	Rules    Rules
	Subject  Subject
	Products Product // which products it rules on
	Edition  string  // the text that holds, as amended
	Dated    Date    // of that edition; zero where not recorded
	From, To Date    // first and last day it applies; zero where open or not recorded
	Title    string
	Got      Got    // of the set as a whole; a Cite tells each figure's
	Ask      string // key of the authority to ask
}

const (
	askFood    = "ask.food-authority"
	askWeights = "ask.weights-authority"
	askBuyer   = "ask.buyer"
	askNobody  = "ask.house"
)

// originChange is the day from which Directive (EU) 2024/1438 applies (art. 5).
const originChange Date = 20260614

// The dates are the publications' own, by their numbers and titles; the year of
// the German ordinance's present text (2020) is from memory.
var sets = [setCount]Set{
	EUHoney:      {"eu-honey-2014", EU, HoneyLimits, anyHoney, "2014/63/EU", 20140000, 0, 0, "Council Directive 2001/110/EC Annex II as amended by 2014/63/EU", Read, askFood},
	CodexHoney:   {"codex-honey-2019", Codex, HoneyLimits, TableHoney, "rev. 2001, 2019", 20190000, 0, 0, "Codex Alimentarius CXS 12-1981", Memory, askFood},
	USGrades:     {"us-grades-1985", US, HoneyLimits, TableHoney, "1985", 19850000, 0, 0, "USDA standards for grades of extracted honey", Read, askBuyer},
	EUContents:   {"eu-contents-1978", EU, NetContents, anyProduct, "78/891/EEC", 19780000, 0, 0, "Directive 76/211/EEC as amended by 78/891/EEC", Read, askWeights},
	UKContents:   {"uk-contents-2006", UK, NetContents, anyProduct, "SI 2006/659", 20060000, 0, 0, "Weights and Measures (Packaged Goods) Regulations 2006", Read, askWeights},
	DEContents:   {"de-contents-2020", DE, NetContents, anyProduct, "par. 9", 20200000, 0, 0, "Fertigpackungsverordnung", Read, askWeights},
	OIMLContents: {"oiml-contents-2004", OIML, NetContents, anyProduct, "R 87:2004", 20040000, 0, 0, "OIML R 87, Quantity of product in prepackages", Memory, askWeights},
	USContents:   {"us-contents-2011", US, NetContents, anyProduct, "2011", 20110000, 0, 0, "NIST Handbook 133", Memory, askWeights},
	UKGuidance:   {"uk-target-2006", UK, FillTarget, anyProduct, "2006", 20060000, 0, 0, "UK packers guidance on the 2006 Regulations", Memory, askWeights},
	DETarget:     {"de-target-2020", DE, FillTarget, anyProduct, "par. 9", 20200000, 0, 0, "Fertigpackungsverordnung par. 9(3), (4), with the UK guidance's arithmetic", Memory, askWeights},
	TradeSetting: {"trade-setting", NoRules, FillTarget, anyProduct, "", 0, 0, 0, "common practice, no source", Practice, askNobody},
	OIMLScales:   {"oiml-scales-2006", OIML, ScaleErrors, anyProduct, "R 76-1:2006", 20060000, 0, 0, "OIML R 76-1, Non-automatic weighing instruments", Read, askWeights},
	OIMLMasses:   {"oiml-masses-2004", OIML, TestMasses, anyProduct, "R 111-1:2004", 20040000, 0, 0, "OIML R 111-1, Weights", Read, askWeights},
	OIMLFillers:  {"oiml-fillers-2000", OIML, FillingMachines, anyProduct, "SI 2000/388", 20000000, 0, 0, "UK SI 2000/388 Sch. 5 table 1 = OIML R 61", Read, askWeights},
	EUWeighing:   {"eu-weighing-1978", EU, JarWeighing, anyProduct, "1978", 19781020, 0, 0, "French arrete of 20 Oct 1978 (transposes Directive 76/211/EEC Annex II)", Read, askWeights},
	USWeighing:   {"us-weighing-2011", US, JarWeighing, anyProduct, "2011", 20110000, 0, 0, "NIST Handbook 133", Read, askWeights},
	EULabels:     {"eu-labels-2011", EU, LabelSizes, anyProduct, "1169/2011", 20110000, 0, 0, "Regulation (EU) 1169/2011", Read, askFood},
	EUFigures:    {"eu-figures-1978", EU, LabelSizes, anyProduct, "78/891/EEC", 19780000, 0, 0, "Directive 76/211/EEC as amended by 78/891/EEC", Read, askWeights},
	UKFigures:    {"uk-figures-2006", UK, LabelSizes, anyProduct, "SI 2006/659", 20060000, 0, 0, "Weights and Measures (Packaged Goods) Regulations 2006", Memory, askWeights},
	USLabels:     {"us-labels", US, LabelSizes, anyProduct, "", 0, 0, 0, "21 CFR 101.1, 101.7; 16 CFR 500.21", Memory, askFood},
	EULotAndDate: {"eu-lot-date-2011", EU, LotAndDate, anyProduct, "2011/91/EU; 1169/2011", 20110000, 0, 0, "Directive 2011/91/EU; Regulation (EU) 1169/2011 Annex X", Read, askFood},
	EUNutrition:  {"eu-nutrition-2011", EU, Nutrition, anyProduct, "1169/2011", 20110000, 0, 0, "Regulation (EU) 1169/2011", Read, askFood},
	EURounding:   {"eu-rounding-2012", EU, Nutrition, anyProduct, "Dec 2012", 20121200, 0, 0, "Commission guidance on tolerances for nutrient values", Read, askFood},
	USNutrition:  {"us-nutrition", US, Nutrition, anyProduct, "", 0, 0, 0, "21 CFR 101.9(c) as tabulated in the FDA food labeling guide", Read, askFood},
	EUOrigin2001: {"eu-origin-2001", EU, OriginStatement, anyHoney, "2001/110/EC", 20010000, 0, originChange - 1, "Directive 2001/110/EC art. 2(4) before Directive (EU) 2024/1438", Read, askFood},
	EUOrigin2024: {"eu-origin-2024", EU, OriginStatement, anyHoney, "(EU) 2024/1438", 20240000, originChange, 0, "Directive 2001/110/EC art. 2(4) as amended by Directive (EU) 2024/1438", Read, askFood},
	GS1Keys:      {"gs1-check-digit", NoRules, Codes, anyProduct, "", 0, 0, 0, "GS1, how to calculate a check digit manually", Read, askNobody},
}

// Set returns the rule set; an unknown number gives the empty set.
func (id SetID) Set() Set {
	if id >= setCount {
		id = NoSet
	}
	return sets[id]
}

// Sets lists every rule set, in order of subject as declared above.
func Sets() []Set { return append([]Set(nil), sets[1:]...) }

// A Cite says where a value comes from: the set, the place in it, and how this
// very figure was obtained. It travels with every answer.
type Cite struct {
	Set   SetID
	Place string
	Got   Got
}

// ID is the rule set's stable key.
func (c Cite) ID() string { return c.Set.Set().ID }

// Edition is the edition that answered.
func (c Cite) Edition() string { return c.Set.Set().Edition }

// Dated is the date of that edition.
func (c Cite) Dated() Date { return c.Set.Set().Dated }

// String is the source in one line, for a row's or page's small print.
func (c Cite) String() string {
	s := c.Set.Set()
	return fmt.Sprintf("%s: %s, %s (%s)", s.ID, s.Title, c.Place, c.Got)
}

// fallback names, for a market that takes over another's law, whose sets it
// uses where it has none itself: Germany the Union's; and scales, test weights
// and filling machines follow the international recommendations everywhere
// here but in the United States.
func fallback(market Rules, s Subject) Rules {
	switch s {
	case ScaleErrors, TestMasses, FillingMachines:
		if market == EU || market == UK || market == DE {
			return OIML
		}
	case FillTarget:
		if market == EU || market == OIML {
			return UK // the only published arithmetic at hand
		}
	}
	if market == DE {
		return EU
	}
	return NoRules
}

// Choose returns the rule sets on a subject for a product sold in a market on a
// day, the market's own before those it takes over. More than one may answer:
// letter heights and figure heights stand in two texts.
func Choose(market Rules, product Product, s Subject, on Date) ([]SetID, error) {
	for r := market; r != NoRules; r = fallback(r, s) {
		var found []SetID
		for id := NoSet + 1; id < setCount; id++ {
			c := &sets[id]
			if c.Rules == r && c.Subject == s && c.Products&product != 0 && c.holds(on) {
				found = append(found, id)
			}
		}
		if found != nil {
			return found, nil
		}
	}
	return nil, noRule(market, "rules for this product and subject", "choose another rule set and ask the authority")
}

// holds reports whether the set applies on a day; with no day given only a set
// without an end does, which is the one in force now or next.
func (s *Set) holds(on Date) bool {
	if on == 0 {
		return s.To == 0
	}
	return on >= s.From && (s.To == 0 || on <= s.To)
}
