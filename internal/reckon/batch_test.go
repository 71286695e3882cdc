package reckon

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// fields reads a table of package standard's tests, one map a row.
func fields(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "standard", "testdata", name+".csv"))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var all []map[string]string
	for _, r := range rows[1:] {
		m := map[string]string{}
		for i, name := range rows[0] {
			m[name] = r[i]
		}
		all = append(all, m)
	}
	return all
}

// The batches worked out in the table of examples (derived from Directive
// 76/211/EEC annex II), asked as a person would: weights on standard input.
// Tolerance: the table gives four decimals.
func TestBatchExamples(t *testing.T) {
	weights := map[string][]string{}
	for _, r := range fields(t, "examples_batch_weights") {
		weights[r["id"]] = append(weights[r["id"]], r["net_g"])
	}
	for _, r := range fields(t, "examples_batch") {
		line := "batch --rules eu --weights - --label-g " + r["Qn_g"] + " --batch " + r["batch"]
		if r["n"] == "20" { // opened jars
			line += " --method destructive"
		}
		o, err := readOptions(parted(line))
		if err != nil {
			t.Fatal(err)
		}
		if err := o.fromInput(strings.NewReader("net_g\n" + strings.Join(weights[r["id"]], "\n") + "\n")); err != nil {
			t.Fatal(err)
		}
		q := newQuery(o.subject)
		if err := q.read(o.flags); err != nil {
			t.Fatal(err)
		}
		if err := q.reckon(); err != nil {
			t.Errorf("%s: %v", r["id"], err)
			continue
		}
		for name, column := range map[string]string{"jars": "n", "mean_g": "mean", "sd_g": "s", "limit_g": "mean_limit",
			"short": "defectives_below_T1", "at_t1": "exactly_at_T1_not_defective", "barred": "below_T2"} {
			want, err := strconv.ParseFloat(r[column], 64)
			if err != nil {
				t.Fatal(err)
			}
			near(t, q, name, want, 0.00005+1e-9)
		}
		is(t, q, "mean_pass", map[string]string{"accept": "yes", "reject": "no"}[r["mean_verdict"]])
		// B2: two short of thirty ask for a second sample, but the mean fails already. B4:
		// fifty jars where the sample for short jars wants eighty: no pass, no failure.
		is(t, q, "pass", map[string]string{"B1": "yes", "B2": "no", "B3": "yes", "B4": ""}[r["id"]])
	}
}

func TestBatchIsNoPassByDefault(t *testing.T) {
	few := must(t, `batch --label-g 500 --rules eu --batch 400 --weights "500 501 502"`)
	is(t, few, "pass", "")
	is(t, few, "items", "not decided")
	uncounted := must(t, `batch --label-g 500 --rules eu --weights "500 501 469.9"`)
	is(t, uncounted, "pass", "")
	near(t, uncounted, "barred", 1, 0)
	is(t, must(t, `batch --label-g 500 --rules eu --batch 400 --weights "500 501 469.9"`), "pass", "no") // below T2
	for line, why := range map[string]string{
		`batch --label-g 500 --rules eu --batch 400 --weights "500 x 501"`:   "jar 2",
		`batch --label-g 500 --rules eu --batch 400 --weights "500 0 501"`:   "jar 2",
		`batch --label-g 500 --rules eu --batch 400 --weights "500 501,234"`: "jar 2", // decimals or thousands
		`batch --label-g 500 --rules eu --batch 400 --weights ";"`:           "no weight",
		`batch --label-g 500 --rules eu --batch 2 --weights "500 501 502"`:   "",
	} {
		if _, err := ask(t, line); err == nil || !strings.Contains(err.Error(), why) {
			t.Errorf("%s: %v, want a refusal with %q", line, err, why)
		}
	}
}

// Directive 2001/110/EC art. 2(4) as amended by (EU) 2024/1438, by the worked examples
// LE3, LE4, LE13, LE14 and LE15 of the table of label examples, and question 19.
func TestOriginStatement(t *testing.T) {
	for _, c := range []struct{ flags, answer, want string }{
		{`--shares "HU 55.0, RO 30.0, UA 15.0" --date 2026-11-03`, "statement", "HU 55 %, RO 30 %, UA 15 %"},
		{`--shares "ES 18, AR 42, MX 40" --date 2026-11-03`, "statement", "AR 42 %, MX 40 %, ES 18 %"},
		{`--shares "ES 18 % AR 42 % MX 40 %" --date 2026-11-03`, "statement", "AR 42 %, MX 40 %, ES 18 %"},
		{`--shares "AA 30, BB 25, CC 15, DD 12, EE 10, FF 8" --four-largest yes --date 2026-11-03`, "statement", "AA 30 %, BB 25 %, CC 15 %, DD 12 %, EE, FF"},
		{`--shares "AA 40, BB 30, CC 20, DD 10" --four-largest yes --date 2026-11-03`, "statement", "AA 40 %, BB 30 %, CC 20 %, DD 10 %"},
		{`--shares "AA 1 kg, BB 1 kg, CC 1 kg" --date 2026-11-03`, "statement", "AA 34 %, BB 33 %, CC 33 %"}, // adds up to 100
		{`--shares "AA 1, BB 1, CC 1" --decimals 1 --date 2026-11-03`, "statement", "AA 33.4 %, BB 33.3 %, CC 33.3 %"},
		{`--shares "ES 2 t, FR 1450 kg" --date 2026-11-03`, "statement", "ES 58 %, FR 42 %"},
		{`--shares "ES 58,3; FR 41,7" --date 2026-06-14`, "earlier", "none"},
		{`--shares "ES 58,3; FR 41,7" --date 2026-06-13`, "earlier", "blend of EU honeys"},
		{`--shares "ES 1, AR 1" --date 2026-06-13`, "earlier", "blend of EU and non-EU honeys"},
		{`--shares "MX 1, AR 1" --date 2026-06-13`, "earlier", "blend of non-EU honeys"},
		{`--shares "ES 100" --date 2026-11-03`, "statement", "ES"},
		{`--shares "VM 2030, OS 1450" --date 2026-11-03 --declared "VM 60, OS 40"`, "declared_pass", "yes"},
		{`--shares "VM 1740, OS 1740" --date 2026-11-03 --declared "VM 60, OS 40"`, "declared_pass", "no"},
		{`--shares "VM 60, OS 39, ZZ 1" --date 2026-11-03 --declared "VM 60, OS 40"`, "declared_pass", "no"}, // left out
		{`--shares "VM 60, OS 40" --date 2026-11-03`, "declared_pass", ""},
	} {
		is(t, must(t, "origin-statement --net-g 340 "+c.flags), c.answer, c.want)
	}
	is(t, must(t, `origin-statement --shares "VM 60, OS 40" --net-g 29.9 --date 2026-11-03`), "codes_may_do", "yes")
	is(t, must(t, `origin-statement --shares "VM 60, OS 40" --net-g 30 --date 2026-11-03`), "codes_may_do", "no")
	for shares, why := range map[string]string{
		"es 30, fr 70": "two capitals", "Spain 30": "two capitals", "ES 30 %, FR 60 %": "90 %", "ES 30 %, FR 70 kg": "mixed",
		"ES, FR 70": "no figure", "ES 1,234, FR 500": "shares", "ES -3, FR 100": "-3", "ES nan, FR 3": "shares", "ES 0, FR 0": "no honey",
	} {
		if q, err := ask(t, `origin-statement --net-g 340 --date 2026-11-03 --shares "`+shares+`"`); err == nil || !strings.Contains(q.sentence(err), why) {
			t.Errorf("%s: %v, want a refusal with %q", shares, err, why)
		}
	}
}
