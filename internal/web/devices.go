package web

import (
	"net/http"
	"time"

	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// Devices: which tablets and computers may write, the code that lets in one more, and
// what is done with one that was lost.
type devicesPage struct {
	*frame
	Devices   []deviceRow
	LAN       bool // others can be paired at all
	Own       bool // this is the office PC, where the code is shown
	Code      string
	Until     string
	Addresses []string
	Command   string
}

type deviceRow struct {
	Code, What, Since string
	Out, Here         bool
	ShutHref          string
}

func (v *visit) devices() error {
	p := devicesPage{frame: v.frame("", v.say("page.devices")), LAN: v.s.opts.LAN, Own: own(v.r), Command: "combline open --lan"}
	if v.s.opts.Addresses != nil && p.LAN {
		p.Addresses = v.s.opts.Addresses()
	}
	if code, left, ok := v.s.access.code(); ok && p.Own {
		p.Code, p.Until = code[:codeDigits/2]+" "+code[codeDigits/2:], v.say("page.pair.left", "wait", v.minutes(left))
	}
	v.s.office.Read(func(h *office.View) {
		for _, d := range h.Devices() {
			row := deviceRow{Code: string(d.Device), What: d.What, Since: v.c.DateShort(d.When.Time()), Out: d.Out, Here: sameCode(d.Device, v.device)}
			if !d.Out && !sameCode(d.Device, officePC) {
				row.ShutHref = link("/do/shut-out", "of", string(d.Device), "back", "/devices")
			}
			p.Devices = append(p.Devices, row)
		}
	})
	return v.render("devices", p)
}

// showCode shows a pairing code on the office PC, and nowhere else.
func (v *visit) showCode() error {
	if !own(v.r) {
		return errNotFound
	}
	if v.arg("end") != "" {
		v.s.access.endCode()
	} else {
		v.s.access.newCode()
	}
	return v.see("/devices")
}

// Pair: the one page that a device sees which the house does not know.
type pairPage struct {
	Lang, Title, Style, Help, CodeLabel, WhatLabel, Hint, Go, Problem, What string
	v                                                                       *visit
}

// wrongCodes bound guessing a code: by one device, and by all together.
func wrongCodes(r *http.Request) []limit {
	return []limit{{deviceKey("pair", address(r)), codeTries}, {"pair", 4 * codeTries}}
}

func (v *visit) pair() error {
	if v.s.mayCome(v.r) {
		return v.see("/")
	}
	p := pairPage{Lang: string(v.c.Lang()), Title: v.say("page.pair"), Style: v.s.assets.link("combline.css"), Help: v.say("page.pair.help"),
		CodeLabel: v.say("page.pair.code"), WhatLabel: v.say("page.pair.what"), Hint: v.say("page.pair.what-hint"), Go: v.say("page.pair.go"),
		What: v.arg("what"), v: v}
	if v.r.Method != http.MethodPost {
		return v.renderBare(http.StatusOK, "pair", p)
	}
	limits := wrongCodes(v.r)
	if wait := v.s.access.try(limits...); wait > 0 {
		p.Problem = v.say("page.pin.wait", "wait", v.minutes(wait))
		return v.renderBare(http.StatusTooManyRequests, "pair", p)
	}
	if !v.s.access.useCode(v.arg("code")) {
		p.Problem = v.say("page.pair.wrong")
		return v.renderBare(http.StatusForbidden, "pair", p)
	}
	v.s.access.right(limits...)
	if err := v.paired(v.arg("what")); err != nil {
		return err
	}
	return v.see("/people")
}

// paired writes down that a device may write, and gives it its token.
func (v *visit) paired(what string) error {
	const longest = 60 // a name, no story
	if r := []rune(what); len(r) > longest {
		what = string(r[:longest])
	}
	d := house.Draft{Key: record.Key([]byte(newToken())[:16]), When: record.At(v.now)}
	var code record.Code
	v.s.office.Read(func(h *office.View) { code = h.NextCode(record.Device, "tablet-1") })
	d.Facts = []record.Fact{&record.DeviceNamed{Device: code, What: what}}
	if _, err := v.s.office.Submit(v.r.Context(), d); err != nil {
		return err
	}
	token, err := v.s.access.pair(code)
	if err != nil {
		return err
	}
	v.keep(tokenCookie, token, int(400*24*time.Hour/time.Second))
	return nil
}

// shutOutTask writes down that a device may write no longer; it is out at once.
func (v *visit) shutOutTask(of record.Code) (*task, error) {
	known := false
	v.s.office.Read(func(h *office.View) { known = h.DeviceIn(of) })
	if !known || sameCode(of, officePC) {
		return nil, errNotFound
	}
	return &task{Of: of, About: string(of), Back: "/devices", Go: v.say("page.task.shut-out"), Alarm: true, Note: v.say("page.task.shut-out.note"),
		Parts: []part{{Kind: record.KindDeviceShutOut, Fixed: map[string]string{"device": string(of)}, Cells: []cell{{Name: "reason"}}}}}, nil
}
