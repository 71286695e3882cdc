package web

// pinSays is what a form says where it asks for a PIN.
type pinSays struct {
	*pinAsk
	Title, Help, New, Again, PIN, Go string
}

// PINSays is what the form says where it asks for a PIN.
func (e *entry) PINSays() pinSays { return e.v.pinSays(e.PIN) }

func (v *visit) pinSays(p *pinAsk) pinSays {
	s := pinSays{pinAsk: p, Title: v.say("page.pin.ask", "name", p.Name), Help: v.say("page.pin.help"), New: v.say("page.pin.new"),
		Again: v.say("page.pin.again"), PIN: v.say("page.pin"), Go: v.say("page.pin.go")}
	if p.First {
		s.Title, s.Help = v.say("page.pin.choose", "name", p.Name), v.say("page.pin.choose-help", "least", int64(leastPIN), "most", int64(mostPIN))
		if p.Nobody {
			s.Help = v.say("page.pin.nobody") + " " + s.Help
		}
	}
	return s
}
