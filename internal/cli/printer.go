package cli

import (
	"combline/internal/paper"
	"combline/internal/web"
	"combline/internal/words"
)

// printer lends the pages what draws paper.
func printer(h *opened) web.Printer {
	return web.Printer{
		Sheets: func(c *words.Catalogue, p web.Paper) ([]byte, error) {
			return paper.Sheets(c, paper.Report{House: p.House, Title: p.Title, Answer: p.Answer, Facts: p.Facts, Made: h.Now()})
		},
		Workbook: paper.Workbook,
		Table:    paper.Table,
		Form:     func(c *words.Catalogue, f web.Form) ([]byte, error) { return paper.Blank(c, paper.Form(f), h.Now()) },
	}
}
