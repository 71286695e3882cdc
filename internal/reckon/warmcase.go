package reckon

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"combline/internal/heat"
	"combline/internal/honey"
	"combline/internal/quantity"
)

// A warmCase is the JSON form of a warming case, as docs/reckon.md shows it. Only
// the fields named here are taken, spelt as here and once each.
type warmCase struct {
	DiameterM float64 `json:"diameter_m"`
	HeightM   float64 `json:"height_m"`
	LengthM   float64 `json:"length_m"`
	WidthM    float64 `json:"width_m"`

	MassKg    float64 `json:"mass_kg"` // of a stirred vessel
	JacketM2  float64 `json:"jacket_m2"`
	OtherM2   float64 `json:"other_m2"`
	StirrerW  float64 `json:"stirrer_w"`
	InsideWM2 float64 `json:"inside_w_m2_k"`

	StartC     *startForm      `json:"start_c"`
	Film       *facesForm      `json:"film"`
	Ambient    *ambientsForm   `json:"ambient"`
	Wall       []layerForm     `json:"wall"`
	Properties *propertiesForm `json:"properties"`
	WaterPct   *float64        `json:"water_pct"`
	Assume     bool            `json:"assume_water"`
	School     string          `json:"school"`
	Rate       *float64        `json:"rate"`
	Melt       *meltForm       `json:"melt"`
	Convection *convectionForm `json:"convection"`
	Heater     *heaterForm     `json:"heater"`
	ReportH    []float64       `json:"report_h"`
}

type startForm struct {
	Core float64  `json:"core"`
	Skin float64  `json:"skin"`
	Mean *float64 `json:"mean"`
}

type facesForm struct {
	Side   float64 `json:"side"`
	Bottom float64 `json:"bottom"`
	Top    float64 `json:"top"`
}

type ambientsForm struct {
	Side   programForm `json:"side"`
	Bottom programForm `json:"bottom"`
	Top    programForm `json:"top"`
}

// A programForm is a number, or a list of [hour, °C] joined by straight lines.
type programForm []heat.Point

type layerForm struct {
	ThickM float64 `json:"thick_m"`
	WMK    float64 `json:"w_m_k"`
}

type propertiesForm struct {
	name  string
	K     *float64 `json:"k"`
	KPerC float64  `json:"k_per_c"`
	Rho   *float64 `json:"rho"`
	Cp    *float64 `json:"cp"`
	CpPer float64  `json:"cp_per_c"`

	HMFPerH *float64 `json:"hmf_per_h_40"`
	HMFJMol *float64 `json:"hmf_j_mol"`
	DiaPerH *float64 `json:"diastase_per_h_40"`
	DiaJMol *float64 `json:"diastase_j_mol"`
}

type meltForm struct {
	LatentJKg float64 `json:"latent_j_kg"`
	CentreC   float64 `json:"centre_c"`
	WidthK    float64 `json:"width_k"`
}

// A convectionForm is yes, no, or a factor on the published stirring.
type convectionForm float64

type heaterForm struct {
	PowerW  float64     `json:"power_w"`
	LossWK  float64     `json:"loss_w_k"`
	Outside programForm `json:"outside_c"`
	Bodies  int         `json:"bodies"`
	Faces   []string    `json:"faces"`
}

const (
	longestCase = 1 << 20
	mostRows    = 1000
	mostCorners = 2000
	deepest     = 8
)

// readWarmCase reads a case strictly: no unknown field, none twice, nothing behind it.
func readWarmCase(text string) (*warmCase, error) {
	if len(text) > longestCase {
		return nil, fmt.Errorf("the case has %d bytes, want %d at most", len(text), longestCase)
	}
	if err := onceEach(json.NewDecoder(strings.NewReader(text)), "", 0); err != nil {
		return nil, err
	}
	d := json.NewDecoder(strings.NewReader(text))
	d.DisallowUnknownFields()
	var w warmCase
	if err := d.Decode(&w); err != nil {
		return nil, badCase(err)
	}
	if _, err := d.Token(); err != io.EOF {
		return nil, fmt.Errorf("the case goes on behind its closing brace")
	}
	return &w, nil
}

func badCase(err error) error {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) && kind.Field != "" {
		return fmt.Errorf("the case's %s is a %s, want a %s", kind.Field, kind.Value, kind.Type)
	}
	return fmt.Errorf("the case is not what it should be: %s", strings.TrimPrefix(err.Error(), "json: "))
}

// onceEach walks one value and refuses a key that is unknown to the form, spelt
// otherwise, or there twice: the standard decoder takes the last of two and any case.
func onceEach(d *json.Decoder, path string, depth int) error {
	if depth > deepest {
		return fmt.Errorf("the case is nested deeper than %d", deepest)
	}
	t, err := d.Token()
	if err != nil {
		return badCase(err)
	}
	switch t {
	case json.Delim('['):
		for d.More() {
			if err := onceEach(d, path, depth+1); err != nil {
				return err
			}
		}
	case json.Delim('{'):
		seen := map[string]bool{}
		for d.More() {
			k, err := d.Token()
			if err != nil {
				return badCase(err)
			}
			key := k.(string)
			if err := knownKey(path, key, seen); err != nil {
				return err
			}
			seen[key] = true
			if err := onceEach(d, key, depth+1); err != nil {
				return err
			}
		}
	default:
		if depth == 0 {
			return fmt.Errorf("the case is no JSON object: it begins with {")
		}
		return nil
	}
	_, err = d.Token()
	if err != nil {
		return badCase(err)
	}
	return nil
}

func knownKey(path, key string, seen map[string]bool) error {
	known := caseKeys(path)
	in := "the case"
	if path != "" {
		in += "'s " + path
	}
	switch {
	case known == nil:
		return fmt.Errorf("%s has fields, want a figure", in)
	case !slices.Contains(known, key):
		return fmt.Errorf("%s has an unknown field %s%s; it takes %s", in, quoted(key), nearest(key, known), strings.Join(known, ", "))
	case seen[key]:
		return fmt.Errorf("%s has %s twice", in, key)
	}
	return nil
}

// caseKeys lists the fields of one object of the form.
func caseKeys(path string) []string {
	faces := []string{"side", "bottom", "top"}
	switch path {
	case "":
		return []string{"diameter_m", "height_m", "length_m", "width_m", "mass_kg", "jacket_m2", "other_m2", "stirrer_w", "inside_w_m2_k",
			"start_c", "film", "ambient", "wall", "properties", "water_pct", "assume_water", "school", "rate", "melt", "convection", "heater", "report_h"}
	case "film", "ambient":
		return faces
	case "start_c":
		return []string{"core", "skin", "mean"}
	case "properties":
		return []string{"k", "k_per_c", "rho", "cp", "cp_per_c", "hmf_per_h_40", "hmf_j_mol", "diastase_per_h_40", "diastase_j_mol"}
	case "melt":
		return []string{"latent_j_kg", "centre_c", "width_k"}
	case "wall":
		return []string{"thick_m", "w_m_k"}
	case "heater":
		return []string{"power_w", "loss_w_k", "outside_c", "bodies", "faces"}
	}
	return nil
}

func isNumber(b []byte) bool { return len(b) > 0 && (b[0] == '-' || '0' <= b[0] && b[0] <= '9') }

func (s *startForm) UnmarshalJSON(b []byte) error {
	if isNumber(b) {
		if err := json.Unmarshal(b, &s.Core); err != nil {
			return err
		}
		s.Skin = s.Core
		return nil
	}
	type plain startForm
	s.Core, s.Skin = math.NaN(), math.NaN()
	return json.Unmarshal(b, (*plain)(s))
}

func (f *facesForm) UnmarshalJSON(b []byte) error {
	if isNumber(b) {
		var x float64
		if err := json.Unmarshal(b, &x); err != nil {
			return err
		}
		*f = facesForm{x, x, x}
		return nil
	}
	type plain facesForm
	f.Side, f.Bottom, f.Top = math.NaN(), math.NaN(), math.NaN()
	return json.Unmarshal(b, (*plain)(f))
}

func (f *ambientsForm) UnmarshalJSON(b []byte) error {
	if isNumber(b) || bytes.HasPrefix(b, []byte("[")) {
		var p programForm
		if err := json.Unmarshal(b, &p); err != nil {
			return err
		}
		*f = ambientsForm{p, p, p}
		return nil
	}
	type plain ambientsForm
	return json.Unmarshal(b, (*plain)(f))
}

func (p *programForm) UnmarshalJSON(b []byte) error {
	if isNumber(b) {
		var x float64
		if err := json.Unmarshal(b, &x); err != nil {
			return err
		}
		*p = programForm(heat.Steady(quantity.Celsius(x)))
		return nil
	}
	var pairs [][]float64
	if err := json.Unmarshal(b, &pairs); err != nil {
		return fmt.Errorf("an ambient is a number or a list of [hour, °C], as [[0, 15], [6, 50]]")
	}
	if len(pairs) == 0 || len(pairs) > mostCorners {
		return fmt.Errorf("an ambient has %d points, want 1 to %d", len(pairs), mostCorners)
	}
	for i, x := range pairs {
		if len(x) != 2 {
			return fmt.Errorf("point %d of an ambient has %d figures, want [hour, °C]", i+1, len(x))
		}
		*p = append(*p, heat.Point{Hour: x[0], C: quantity.Celsius(x[1])})
	}
	return nil
}

func (p *propertiesForm) UnmarshalJSON(b []byte) error {
	if bytes.HasPrefix(b, []byte(`"`)) {
		return json.Unmarshal(b, &p.name)
	}
	type plain propertiesForm
	return json.Unmarshal(b, (*plain)(p))
}

func (c *convectionForm) UnmarshalJSON(b []byte) error {
	switch string(b) {
	case "true":
		*c = 1
		return nil
	case "false":
		*c = 0
		return nil
	}
	return json.Unmarshal(b, (*float64)(c))
}

// heatCase turns the form into a case; what it leaves open is refused by name.
func (w *warmCase) heatCase(q *Query) (heat.Case, error) {
	c := heat.Case{ReportH: w.ReportH, Body: w.body()}
	if len(c.ReportH) > mostRows {
		return c, fmt.Errorf("report_h has %d hours, want %d at most", len(c.ReportH), mostRows)
	}
	for _, missing := range []struct {
		is   bool
		name string
	}{{w.StartC == nil, "start_c"}, {w.Film == nil, "film"}, {w.Ambient == nil, "ambient"}, {w.Properties == nil, "properties"},
		{len(w.ReportH) == 0, "report_h"}} {
		if missing.is {
			return c, fmt.Errorf("the case has no %s", missing.name)
		}
	}
	var err error
	if c.Honey, err = w.honey(q); err != nil {
		return c, err
	}
	c.Start = heat.Start{Core: quantity.Celsius(w.StartC.Core), Skin: quantity.Celsius(w.StartC.Skin)}
	if m := w.StartC.Mean; m != nil {
		c.Start.Mean, c.Start.HasMean = quantity.Celsius(*m), true
	}
	if m := w.Melt; m != nil {
		c.Melt = &heat.Melt{LatentJKg: m.LatentJKg, Centre: quantity.Celsius(m.CentreC), WidthK: m.WidthK}
	}
	if w.Convection != nil {
		c.Convection = float64(*w.Convection)
	}
	if c.Faces, err = w.faces(c.Body.Shape); err != nil {
		return c, err
	}
	return c, w.heat(&c)
}

// body tells the shape by which measures there are.
func (w *warmCase) body() heat.Body {
	switch {
	case w.MassKg != 0:
		b := heat.Vessel(w.MassKg, w.JacketM2, w.OtherM2)
		b.StirrerW, b.JacketHi = w.StirrerW, w.InsideWM2
		return b
	case w.DiameterM == 0 && (w.LengthM != 0 || w.WidthM != 0):
		return heat.Crate(w.LengthM, w.WidthM, w.HeightM)
	}
	return heat.Drum(w.DiameterM, w.HeightM)
}

func (w *warmCase) honey(q *Query) (heat.Properties, error) {
	p := heat.Fixed()
	var err error
	switch f := w.Properties; f.name {
	case "P1":
	case "house":
		p, err = w.house(q)
	case "":
		p, err = f.constants(p)
	default:
		return p, fmt.Errorf("properties %s are none of house, P1, or an object of constants", quoted(f.name))
	}
	if err != nil || w.Rate == nil {
		return p, err
	}
	if !(0.1 <= *w.Rate && *w.Rate <= 10) {
		return p, outOf("rate", *w.Rate, "0.1 to 10")
	}
	return p.Faster(*w.Rate), nil
}

func (w *warmCase) house(q *Query) (heat.Properties, error) {
	water := math.NaN()
	switch {
	case w.WaterPct != nil:
		water = *w.WaterPct
	case w.Assume:
		water = float64(heat.AssumedWater)
		q.note(fmt.Sprintf("the water is not known: %g %% was taken, as the case allows", water))
	default:
		return heat.Properties{}, fmt.Errorf("the case has no water_pct: give it, or agree to reckon with %g %% by \"assume_water\": true", float64(heat.AssumedWater))
	}
	school := heat.Classical
	switch w.School {
	case "", "classical":
	case "additive":
		school = heat.Additive
	default:
		return heat.Properties{}, fmt.Errorf("school %s is none of classical, additive", quoted(w.School))
	}
	return heat.House(quantity.WaterPct(water), school)
}

// constants are the reader's own: k and cp at 20 °C, perhaps with slopes.
func (f *propertiesForm) constants(p heat.Properties) (heat.Properties, error) {
	if f.K == nil || f.Rho == nil || f.Cp == nil {
		return p, fmt.Errorf("properties want k in W/(m·K), rho in kg/m³ and cp in J/(kg·K), or one of \"house\", \"P1\"")
	}
	p.DensityKgM3 = *f.Rho
	p.Conductivity = heat.Line{At0: *f.K - 20*f.KPerC, PerC: f.KPerC}
	p.HeatCapacity = heat.Line{At0: *f.Cp - 20*f.CpPer, PerC: f.CpPer}
	law := func(l *honey.Arrhenius, perH, energy *float64) error {
		if perH == nil && energy == nil {
			return nil
		}
		if perH == nil || energy == nil || !(*perH >= 0 && *perH <= 1e4) || !(*energy >= 0 && *energy <= 5e5) {
			return fmt.Errorf("a rate wants both its figure per hour at 40 °C, 0 to 10000, and its J/mol, 0 to 500000")
		}
		*l = heat.RateAt40(*perH, *energy)
		return nil
	}
	if err := law(&p.HMF, f.HMFPerH, f.HMFJMol); err != nil {
		return p, err
	}
	return p, law(&p.Diastase, f.DiaPerH, f.DiaJMol)
}

func (w *warmCase) faces(shape heat.Shape) (heat.Faces, error) {
	film := [3]float64{w.Film.Side, w.Film.Bottom, w.Film.Top}
	if shape == heat.Stirred && math.IsNaN(film[1]) {
		film[1] = 0
	}
	for i, name := range [3]string{"side", "bottom", "top"} {
		if math.IsNaN(film[i]) {
			return heat.Faces{}, fmt.Errorf("film has no %s; 0 lets nothing through", name)
		}
		if len(w.Wall) == 0 || film[i] == 0 {
			continue
		}
		var walls []heat.Layer
		for _, l := range w.Wall {
			walls = append(walls, heat.Layer(l))
		}
		through, err := heat.Through(film[i], walls...)
		if err != nil {
			return heat.Faces{}, err
		}
		film[i] = through
	}
	face := func(i int, p programForm) heat.Face { return heat.Face{Film: film[i], Ambient: heat.Program(p)} }
	return heat.Faces{Side: face(0, w.Ambient.Side), Bottom: face(1, w.Ambient.Bottom), Top: face(2, w.Ambient.Top)}, nil
}

// heat puts the heater behind its faces.
func (w *warmCase) heat(c *heat.Case) error {
	h := w.Heater
	if h == nil {
		return nil
	}
	c.Heater = &heat.Heater{PowerW: h.PowerW, LossWK: h.LossWK, Outside: heat.Program(h.Outside), Bodies: h.Bodies}
	faces := map[string]*heat.Face{"side": &c.Faces.Side, "bottom": &c.Faces.Bottom, "top": &c.Faces.Top}
	heated := h.Faces
	if len(heated) == 0 {
		heated = []string{"side", "bottom", "top"}
	}
	for _, name := range heated {
		f, ok := faces[name]
		if !ok {
			return fmt.Errorf("the heater's face %s is none of side, bottom, top", quoted(name))
		}
		f.Heated = true
	}
	return nil
}
