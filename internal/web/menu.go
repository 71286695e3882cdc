package web

import (
	"strings"

	"combline/internal/words"
)

// The menu from the cover: everything that has no tab, and how this device looks.
type menuPage struct {
	*frame
	Groups []menuGroup
	Folder string
	About  string
}

type menuGroup struct {
	Title string
	Items []option
}

// menu lists the pages that have no tab.
var menu = []struct {
	title string
	items [][3]string // text, address, sign
}{
	{"page.menu.care", [][3]string{{"page.holds", "/holds", "stop"}, {"page.watch", "/watch", "watch"}, {"page.balance", "/balance", "scale"}, {"page.history", "/history", "list"}}},
	{"page.menu.yard", [][3]string{{"page.sites", "/sites", "place"}, {"page.pulls", "/pulls", "list"}, {"page.boxes", "/boxes", "box"}, {"page.start", "/start", "tick"}, {"page.lab", "/lab", "drop"}, {"page.care", "/care", "tick"}, {"page.release", "/release", "eye"}, {"paper.title.safety-plan", "/safety", "list"}, {"page.daybalance", "/daybalance", "scale"}, {"page.blank", "/blank", "print"}}},
	{"page.menu.goods", [][3]string{{"page.orders", "/orders", "send"}, {"page.products", "/products", "fill"}, {"page.labels", "/labels", "print"}, {"page.materials", "/materials", "box"}, {"page.complaints", "/complaints", "watch"}, {"page.cost", "/cost", "scale"}, {"page.settle", "/settle", "person"}, {"page.prices", "/prices", "pencil"}}},
	{"page.menu.house", [][3]string{{"page.people", "/people", "person"}, {"page.settings", "/settings", "pencil"}, {"page.devices", "/devices", "tablet"}, {"page.pin.title", "/pin", "key"}, {"page.papers", "/papers", "print"}, {"page.write", "/write", "pencil"}}},
	{"page.menu.lists", [][3]string{{"page.setup", "/setup", "list"}, {"page.rules", "/rules", "scale"}, {"page.bring", "/bring-in", "down"}}},
}

func (v *visit) menu() error {
	p := menuPage{frame: v.frame("", v.say("page.menu")), Folder: v.s.opts.Folder, About: v.say("page.about", "version", v.s.opts.Version)}
	for _, g := range menu {
		group := menuGroup{Title: v.say(g.title)}
		for _, i := range g.items {
			group.Items = append(group.Items, option{Text: v.say(i[0]), Href: i[1], Value: i[2]})
		}
		p.Groups = append(p.Groups, group)
	}
	return v.render("menu", p)
}

// look sets how this device looks: dark room, hand, sizes, language where nobody is
// chosen.
// It is no fact of the house.
func (v *visit) look() error {
	switch v.arg("room") {
	case "dark":
		v.remember(roomCookie, "dark")
	case "light":
		v.remember(roomCookie, "")
	}
	switch v.arg("hand") {
	case "left":
		v.remember(handCookie, "left")
	case "right":
		v.remember(handCookie, "")
	}
	switch v.arg("size") {
	case "tablet":
		v.remember(sizeCookie, "tablet")
	case "screen":
		v.remember(sizeCookie, "")
	}
	if l, err := words.ParseLang(v.arg("language")); err == nil && v.arg("language") != "" {
		v.remember(langCookie, string(l))
	}
	return v.see(v.arg("back"))
}

// People: who is at the tablet now.
type peoplePage struct {
	*frame
	People []option
	Back   string
}

func (v *visit) choose() error {
	if v.r.Method == "POST" {
		if err := v.lock(); err != nil {
			return err
		}
		for _, p := range v.people {
			if strings.EqualFold(string(p.Person), v.arg("person")) {
				v.remember(personCookie, string(p.Person))
			}
		}
		if v.arg("person") == "" {
			v.remember(personCookie, "")
		}
		return v.see(v.arg("back"))
	}
	p := peoplePage{frame: v.frame("", v.say("page.people")), Back: local(v.arg("back"))}
	for _, x := range v.people {
		p.People = append(p.People, option{Value: string(x.Person), Text: initials(x.Person, x.PersonNamed.Name), Note: nameOf(x.Person, x.PersonNamed.Name) + roleOf(x.Roles), On: x.Person == v.person})
	}
	return v.render("people", p)
}

func roleOf(roles string) string {
	if roles == "" {
		return ""
	}
	return " · " + roles
}
