package web

import (
	"html/template"
	"strings"

	"combline/internal/record"
)

// A frame is what stands around every page: cover, tabs, who and when, HOLD, receipt,
// the sheets that say how a figure was made, and the foot of the printed page.
type frame struct {
	v       *visit
	Title   string
	Lang    string
	Dark    bool
	Left    bool // the keypad is under the left hand
	Tablet  bool // letters and keys stay large on a large screen
	Style   string
	Script  string
	Tabs    []tab
	Clock   string
	Day     string
	Who     string // initials
	Name    string
	WhoHref string
	Hold    string // address of the form that sets a hold on what is shown
	Here    string // address of this page, to come back to
	House   string
	Printed string
	Source  string
	Facts   uint64 // of which the page is made, at least
	Reads   bool   // a page to be read on a phone
	Receipt *receipt
	Hows    []*how
	Files   []option // the page as a PDF, a spreadsheet, CSV
}

// A tab is one step of the way of the honey.
type tab struct {
	Key, Href, Icon, Text string
	On                    bool
	Pipe                  bool // honey runs on to the next
	Phone                 bool // can be read on a phone
}

var tabs = []tab{
	{Key: "today", Href: "/", Icon: "today", Phone: true},
	{Key: "intake", Href: "/intake", Icon: "intake", Pipe: true},
	{Key: "extract", Href: "/extract", Icon: "extract", Pipe: true},
	{Key: "stock", Href: "/stock", Icon: "stock", Pipe: true, Phone: true},
	{Key: "blend", Href: "/blend", Icon: "blend", Pipe: true},
	{Key: "fill", Href: "/fill", Icon: "fill", Pipe: true},
	{Key: "send", Href: "/send", Icon: "send"},
	{Key: "trace", Href: "/trace", Icon: "trace", Phone: true},
}

// frame begins a page under a tab; with no tab, none is open.
func (v *visit) frame(under, title string) *frame {
	here := v.r.URL.RequestURI()
	if v.r.Method != "GET" && v.r.Method != "HEAD" {
		here = link(v.r.URL.Path, "of", v.arg("of"))
	}
	f := &frame{v: v, Title: title, Lang: string(v.c.Lang()), Dark: cookie(v.r, roomCookie) == "dark", Left: cookie(v.r, handCookie) == "left", Tablet: cookie(v.r, sizeCookie) == "tablet",
		Style: v.s.assets.link("combline.css"), Script: v.s.assets.link("built/combline.js"),
		Clock: v.c.Clock(v.now), Day: v.c.DayMonth(v.now), House: v.house.Name, Here: here,
		Printed: v.c.DateShort(v.now) + ", " + v.c.Clock(v.now)}
	for _, t := range tabs {
		t.Text, t.On = v.say("page.tab."+t.Key), t.Key == under
		f.Tabs = append(f.Tabs, t)
	}
	f.Who, f.WhoHref = "?", link("/people", "back", here)
	for _, p := range v.people {
		if p.Person == v.person {
			f.Who, f.Name = initials(p.Person, p.PersonNamed.Name), nameOf(p.Person, p.PersonNamed.Name)
		}
	}
	f.Hold = link("/do/hold", "of", v.arg("of"), "back", here)
	f.Source, f.Facts = v.say("page.print.source", "facts", int64(v.facts)), v.facts
	f.Receipt = v.receipt()
	return f
}

// Cover is the frame itself, for the template around every page, whose own fields may
// bear the same names.
func (f *frame) Cover() *frame { return f }

// about says what the page shows, so that HOLD in the cover is about that.
func (f *frame) about(code record.Code) {
	f.Hold = link("/do/hold", "of", string(code), "back", f.Here)
}

// Say gives a text of the pages, for templates.
func (f *frame) Say(key string, args ...any) string { return f.v.say(key, args...) }

// initials are the two letters by which somebody taps themselves.
func initials(code record.Code, name string) string {
	if name == "" {
		name = string(code)
	}
	words := strings.FieldsFunc(name, func(r rune) bool { return r == ' ' || r == '-' || r == '.' || r == '_' })
	var letters []rune
	for _, w := range words {
		letters = append(letters, []rune(w)[0])
	}
	if len(letters) == 1 {
		letters = []rune(words[0])
	}
	return strings.ToUpper(string(letters[:min(2, len(letters))]))
}

func nameOf(code record.Code, name string) string {
	if name == "" {
		return string(code)
	}
	return name
}

// A figure is a number as it is shown, with its doubt and unit; a tap opens how it was
// made.
type figure struct {
	Value, Spread, Unit string
	Href                string // of its how sheet; empty: it was read, not reckoned
	Label               string // read aloud
}

// A how is the sheet that says how a figure was made.
type how struct {
	ID, Title, Answer string
	Formula           []string
	Inputs            []input
	Source            string
}

// An input is one figure that went into another.
type input struct {
	Name, Value, Note, Href string
}

// how adds a sheet to the page and gives its address.
func (f *frame) how(h how) string {
	f.Hows = append(f.Hows, &h)
	return "#" + h.ID
}

// A chip is the state of one thing: shape, word, colour, in that order.
type chip struct {
	Class string // ok, watch, stop, or none
	Icon  string
	Text  string
	Big   bool
}

// An option is one choice: a link, or one of several values.
type option struct {
	Value, Text, Note, Href string
	On                      bool
}

var chipIcons = map[string]string{"ok": "tick", "watch": "watch", "stop": "stop", "": "dash"}

func newChip(class, text string) chip { return chip{Class: class, Icon: chipIcons[class], Text: text} }

// icon draws a sign.
func icon(name string, class ...string) template.HTML {
	c := "i"
	for _, x := range class {
		c += " " + x
	}
	return template.HTML(`<svg class="` + template.HTMLEscapeString(c) + `" viewBox="0 0 24 24" aria-hidden="true">` + icons[name] + `</svg>`)
}

var icons = map[string]string{
	"today":   `<path d="M3 21h18M5 21V9l7-5 7 5v12M9 21v-6h6v6"/>`,
	"intake":  `<path d="M3 5h18M4 5v15h16V5M9 5v11M12 5v11M15 5v11"/>`,
	"extract": `<circle cx="12" cy="12" r="9"/><circle cx="12" cy="12" r="1.5"/><path d="M12 3v7M20 16l-6.5-3.3M4 16l6.500-3.300"/>`,
	"stock":   `<path d="M5 4h14v11l-5 4h-4l-5-4zM5 9h14M12 19v3"/>`,
	"blend":   `<path d="M5 3v5c0 3 7 3 7 7v6M19 3v5c0 3-7 3-7 7M9 18l3 3 3-3"/>`,
	"fill":    `<path d="M7 3h10v4H7zM7 7c-2 1-2 2-2 4v8c0 1 1 2 2 2h10c1 0 2-1 2-2v-8c0-2 0-3-2-4M5 13h14"/>`,
	"send":    `<path d="M3 8h18v12H3zM3 8l3-4h12l3 4M12 4v8"/>`,
	"trace":   `<path d="M9 6L4 11l5 5M4 11h10a6 6 0 016 6v3"/>`,
	"moon":    `<path d="M20 14A8.500 8.500 0 1110 4a7 7 0 0010 10z"/>`,
	"sun":     `<circle cx="12" cy="12" r="4.5"/><path d="M12 2v3M12 19v3M2 12h3M19 12h3M5 5l2 2M17 17l2 2M5 19l2-2M17 7l2-2"/>`,
	"stop":    `<path d="M8 2h8l6 6v8l-6 6H8l-6-6V8zM12 7v6M12 16.500v.2"/>`,
	"hand":    `<path d="M8 12V5a1.500 1.500 0 013 0v6V4a1.500 1.500 0 013 0v7V6a1.500 1.500 0 013 0v9c0 4-3 6-6 6s-5-2-6-4l-2-4c0-2 2-2 3 0z"/>`,
	"tick":    `<circle cx="12" cy="12" r="10"/><path d="M7 12.500l3.500 3.500L17 9"/>`,
	"clock":   `<circle cx="12" cy="12" r="10"/><path d="M12 6v6l4 3"/>`,
	"dash":    `<circle cx="12" cy="12" r="10"/><path d="M7 12h10"/>`,
	"watch":   `<path d="M12 3L2 21h20zM12 10v5M12 18v.2"/>`,
	"scale":   `<path d="M4 20h16M6 20l1-10h10l1 10M3 7h18M12 7v3"/>`,
	"down":    `<path d="M12 4v15M5 13l7 7 7-7"/>`,
	"undo":    `<path d="M8 4L3 9l5 5M3 9h11a6 6 0 010 12h-3"/>`,
	"close":   `<path d="M5 5l14 14M19 5L5 19"/>`,
	"drop":    `<path d="M12 3c4 5 6 8 6 11a6 6 0 01-12 0c0-3 2-6 6-11z"/>`,
	"print":   `<path d="M7 8V3h10v5M5 8h14v9h-3M8 17H5V8M8 14h8v7H8z"/>`,
	"menu":    `<path d="M4 6h16M4 12h16M4 18h16"/>`,
	"find":    `<circle cx="10" cy="10" r="6.5"/><path d="M15 15l6 6"/>`,
	"place":   `<path d="M12 22s7-7.500 7-12.500A7 7 0 005 9.500C5 14.500 12 22 12 22z"/><circle cx="12" cy="9.500" r="2.5"/>`,
	"stir":    `<path d="M12 2v12M8 14h8M5 18c2 3 12 3 14 0"/>`,
	"pencil":  `<path d="M4 20l1-5L16 4l4 4L9 19zM14 6l4 4"/>`,
	"person":  `<circle cx="12" cy="7.500" r="4.500"/><path d="M4 21c1-5 4-7 8-7s7 2 8 7"/>`,
	"list":    `<path d="M8 6h13M8 12h13M8 18h13M3 6h1M3 12h1M3 18h1"/>`,
	"eye":     `<path d="M2 12c3-5 6-7 10-7s7 2 10 7c-3 5-6 7-10 7S5 17 2 12z"/><circle cx="12" cy="12" r="3"/>`,
	"thermo":  `<path d="M10 4a2 2 0 014 0v10a4 4 0 11-4 0zM12 9v8"/>`,
	"skim":    `<path d="M4 9c3-3 5 3 8 0s5 3 8 0M4 14h16v6H4z"/>`,
	"drum":    `<path d="M6 4h12v16H6zM6 9h12M6 15h12"/>`,
	"key":     `<circle cx="8" cy="15" r="5"/><path d="M11.500 11.500L20 3M16 7l3 3"/>`,
	"tablet":  `<path d="M5 2h14v20H5zM11 18.500h2"/>`,
	"on":      `<path d="M9 5l7 7-7 7"/>`,
	"box":     `<path d="M3 7l9-4 9 4v10l-9 4-9-4zM3 7l9 4 9-4M12 11v10"/>`,
}
