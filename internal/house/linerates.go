package house

import (
	"strconv"
	"strings"

	"combline/internal/answer"
	"combline/internal/record"
)

// SettingLineRates is the rule that says what each machine of the extraction line can do.
const SettingLineRates = "line.rates"

// A LineRate is what a machine can do in an hour: frames, or kg of honey where it moves
// or strains honey.
type LineRate struct {
	Machine record.Code
	Frames  float64
	Kg      float64
}

// LineRates reads "uncapper 480; extractor A 257; sump pump 900 kg". What can't be read
// is given back as bad.
func LineRates(text string) (all []LineRate, bad string) {
	for _, part := range strings.Split(text, ";") {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		number, kg := part, false
		for _, unit := range [...]string{"kg/h", "kg"} {
			if rest, ok := strings.CutSuffix(number, unit); ok {
				number, kg = strings.TrimSpace(rest), true
				break
			}
		}
		at := strings.LastIndexByte(number, ' ')
		if at <= 0 || strings.ContainsRune(number[:at], ',') { // a comma for a semicolon
			return nil, part
		}
		digits := number[at+1:]
		x, err := strconv.ParseFloat(strings.Replace(digits, ",", ".", 1), 64)
		if err != nil || strings.Trim(digits, "0123456789.,") != "" || !(x > 0 && x <= 1e6) {
			return nil, part
		}
		r := LineRate{Machine: record.Code(strings.TrimSpace(number[:at])), Frames: x}
		if kg {
			r.Frames, r.Kg = 0, x
		}
		all = append(all, r)
	}
	return all, ""
}

// settingLineRates refuses rates that nobody could read again; no text takes the rule back.
func (c *check) settingLineRates(text string) {
	if _, bad := LineRates(text); bad != "" {
		c.refuse("refused.line-rates", "next.line.rates", inField("text", answer.Args{"typed": bad}))
	}
}
