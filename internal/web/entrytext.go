package web

import "combline/internal/quantity"

// What a form says around its fields.

func (e *entry) GoText() string {
	if e.Go != "" {
		return e.Go
	}
	return e.v.say("page.form.save")
}

func (e *entry) OverText() string   { return e.v.say("page.form.override") }
func (e *entry) RoleText() string   { return e.v.fieldName("role") }
func (e *entry) ReasonText() string { return e.v.fieldName("reason") }
func (e *entry) YesText() string    { return e.v.say("page.form.yes") }
func (e *entry) LeaveText() string  { return e.v.say("page.form.leave") }
func (e *entry) WhoText() string    { return e.v.say("page.form.who") }
func (e *entry) WhenLabel() string  { return e.v.say("page.form.when") }

func (e *entry) WhenText() string {
	if e.WhenSay != "" {
		return e.WhenSay
	}
	return e.v.say("page.form.when-now", "time", e.v.c.Clock(e.v.now))
}

func (e *entry) PrecisionText() string { return e.v.say("page.form.precision") }

// Precisions are how finely a time can be known.
func (e *entry) Precisions() []option {
	return []option{{Value: "", Text: e.v.say("page.form.to-minute")}, {Value: "half-hour", Text: e.v.say("page.form.to-half-hour")},
		{Value: "day", Text: e.v.say("page.form.to-day")}}
}

// PadKeys are the keys of the big keypad.
func (e *entry) PadKeys() []option {
	point := "."
	if e.v.c.Style().Decimal == quantity.DecimalComma {
		point = ","
	}
	var keys []option
	for _, k := range []string{"7", "8", "9", "4", "5", "6", "1", "2", "3", point, "0"} {
		keys = append(keys, option{Value: k, Text: k})
	}
	return append(keys, option{Value: "del", Text: "⌫", Note: e.v.say("page.form.delete")})
}
