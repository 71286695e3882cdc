package reckon

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"

	"combline/internal/heat"
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

// A propertiesForm is a name or constants. Each of the three may go by its symbol or by
// the name of its unit.
type propertiesForm struct {
	name    string
	K       *float64 `json:"k"`
	WMK     *float64 `json:"w_m_k"`
	KPerC   float64  `json:"k_per_c"`
	Rho     *float64 `json:"rho"`
	Density *float64 `json:"density_kg_m3"`
	Cp      *float64 `json:"cp"`
	JKgK    *float64 `json:"j_kg_k"`
	CpPerC  float64  `json:"cp_per_c"`
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
