package reckon

import "testing"

// 33. "What best-before can I stand behind?" Two years at 20 °C add 16.8 mg/kg by the
// published law (8.42 a year), on a start of 3.4; the trade's own worked answer has "about
// 40, band about 15 to 80 by flower type" after a warming that adds 5. Tolerance: a tenth,
// what 256 scenarios leave in doubt.
func TestQuestion33(t *testing.T) {
	q := must(t, "shelf-life --hmf-mg-kg 3.4 --diastase 18.9 --temp-c 20 --days 730 --rules eu")
	near(t, q, "hmf_then_mg_kg", 3.4+16.8, 2)
	if low, high := q.answered("hmf_low").number, q.answered("hmf_high").number; !(low < 15 && high > 40 && high < 90) {
		t.Errorf("band %.1f to %.1f, want the trade's 15 to 80 to lie about it", low, high)
	}
	// 730 days at 20 °C: half-life 5.38·exp((147550/R)·(1/293.15 − 1/323.15)) = 1487 days
	near(t, q, "diastase_then", 18.9*0.712, 0.7)
	longest := q.answered("longest_days").number
	if !(longest > 200 && longest < 730) {
		t.Errorf("longest %v days", longest)
	}
	cool := must(t, "shelf-life --hmf-mg-kg 3.4 --diastase 18.9 --temp-c 15 --days 730 --rules eu").answered("longest_days").number
	if !(cool > 1.4*longest) {
		t.Errorf("longest %v days at 15 °C, %v at 20", cool, longest)
	}
	alone := must(t, "shelf-life --hmf-mg-kg 3.4 --temp-c 20 --days 730")
	if alone.answered("diastase_then").given || !alone.answered("hmf_over_pct").given {
		t.Error("diastase is told where none was read, or HMF is not")
	}
}

func TestShelfLifeRefuses(t *testing.T) {
	for _, line := range []string{
		"shelf-life --temp-c 20 --days 730", "shelf-life --hmf-mg-kg -1 --temp-c 20 --days 730", "shelf-life --hmf-mg-kg 4 --temp-c 300 --days 730",
		"shelf-life --hmf-mg-kg 4 --temp-c 20 --days -1", "shelf-life --diastase 0 --temp-c 20 --days 1", "shelf-life --hmf-mg-kg 4 --temp-c 20 --days 10 --sure-pct 100",
		"shelf-life --hmf-mg-kg 4 --temp-c 20 --days 10 --swing-c 99", "shelf-life --hmf-mg-kg NaN --temp-c 20 --days 10",
	} {
		if q, err := ask(t, line); err == nil {
			t.Errorf("%s is answered: %v", line, q.answered("hmf_then_mg_kg"))
		}
	}
}
