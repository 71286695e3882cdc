package web

import "combline/internal/office"

// Paper sheets to fill in where no tablet is. What is written on them is typed in later
// with the time that stands on the line: every form asks when it happened.
type blankPage struct {
	*frame
	Sheet  string
	Sheets []option
	Head   string
	About  string
	Top    []string // written once a sheet
	Heads  []string
	Lines  []int
	Ticks  []string
	Typed  string // where it is typed in
}

func (v *visit) blank() error {
	p := blankPage{frame: v.frame("", v.say("page.blank.title")), Sheet: v.arg("sheet")}
	all := office.BlankSheets()
	chosen := all[0]
	for _, b := range all {
		if b.Name == p.Sheet {
			chosen = b
		}
	}
	for _, b := range all {
		p.Sheets = append(p.Sheets, option{Text: v.say("page.blank." + b.Name), Href: link("/blank", "sheet", b.Name), On: b.Name == chosen.Name})
	}
	p.Sheet, p.Head, p.About, p.Typed = chosen.Name, v.say("page.blank."+chosen.Name), v.say("page.blank.about"), chosen.To
	for _, k := range chosen.Top {
		p.Top = append(p.Top, v.say(k))
	}
	for _, k := range chosen.Heads {
		p.Heads = append(p.Heads, v.say(k))
	}
	p.Lines = make([]int, chosen.Lines)
	if print := v.s.opts.Printer.Form; print != nil {
		p.Files = append(p.Files, option{Text: "PDF", Href: link("/blank", "sheet", chosen.Name, "as", "pdf")})
		if v.arg("as") == "pdf" {
			body, err := print(v.c, Form{House: p.House, Title: p.Head, Top: p.Top, Heads: p.Heads, Lines: chosen.Lines, Foot: v.say("page.blank.foot")})
			if err != nil {
				return err
			}
			return v.file(p.Head, "pdf", body)
		}
	}
	return v.render("blank", p)
}
