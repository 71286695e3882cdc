package web

import (
	"archive/zip"
	"bytes"
	"net/http"
	"net/url"
	"strings"

	"combline/internal/answer"
	"combline/internal/words"
)

// A Printer makes files of what the pages show. The pages draw no paper themselves: who
// wires the program gives them what does. A function that is nil is not offered.
type Printer struct {
	Sheets   func(*words.Catalogue, Paper) ([]byte, error)         // A4, PDF
	Workbook func(*words.Catalogue, answer.Answer) ([]byte, error) // a sheet each table
	Table    func(*words.Catalogue, answer.Table) ([]byte, error)  // CSV
	Form     func(*words.Catalogue, Form) ([]byte, error)          // A4 to fill in by hand, PDF
}

// A Paper is an answer that goes on A4 sheets.
type Paper struct {
	Title  string
	House  string
	Answer answer.Answer
	Facts  int64
}

// A Form is a sheet to fill in by hand: what is written once, the columns, how many lines.
type Form struct {
	House, Title, Foot string
	Top, Heads         []string
	Lines              int
}

// onPaper puts the buttons for PDF, spreadsheet and CSV on the page; where the address
// asks for one of them (as=pdf, xlsx or csv), it sends that and sent is true: the page is
// then not to be rendered. Title is the paper's, in the reader's language.
func (v *visit) onPaper(f *frame, title string, a answer.Answer) (sent bool, err error) {
	p := v.s.opts.Printer
	as := v.arg("as")
	tables := withRows(a)
	for _, x := range []struct {
		as, text string
		can      bool
	}{{"pdf", "PDF", p.Sheets != nil}, {"xlsx", "Excel", p.Workbook != nil && len(tables) > 0}, {"csv", "CSV", p.Table != nil && len(tables) > 0}} {
		if !x.can {
			continue
		}
		f.Files = append(f.Files, option{Value: x.as, Text: x.text, Href: v.alsoWith("as", x.as)})
	}
	var body []byte
	switch {
	case as == "pdf" && p.Sheets != nil:
		body, err = p.Sheets(v.c, Paper{Title: title, House: v.house.Name, Answer: a, Facts: int64(v.facts)})
	case as == "xlsx" && p.Workbook != nil && len(tables) > 0:
		body, err = p.Workbook(v.c, a)
	case as == "csv" && p.Table != nil && len(tables) == 1:
		body, err = p.Table(v.c, tables[0])
	case as == "csv" && p.Table != nil && len(tables) > 1:
		as = "zip"
		body, err = v.zipped(tables)
	default:
		return false, nil
	}
	if err != nil {
		return false, err
	}
	return true, v.file(title, as, body)
}

func withRows(a answer.Answer) (all []answer.Table) {
	for _, t := range a.Tables {
		if len(t.Rows) > 0 {
			all = append(all, t)
		}
	}
	return all
}

// zipped is each table as CSV, in one file.
func (v *visit) zipped(tables []answer.Table) ([]byte, error) {
	var b bytes.Buffer
	z := zip.NewWriter(&b)
	for _, t := range tables {
		text, err := v.s.opts.Printer.Table(v.c, t)
		if err != nil {
			return nil, err
		}
		w, err := z.CreateHeader(&zip.FileHeader{Name: t.Name() + ".csv", Method: zip.Deflate, Modified: v.now.UTC()})
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(text); err != nil {
			return nil, err
		}
	}
	if err := z.Close(); err != nil { // writes the list of files
		return nil, err
	}
	return b.Bytes(), nil
}

// alsoWith is the address of this page with one more value in its query.
func (v *visit) alsoWith(name, value string) string {
	q := url.Values{}
	for k, all := range v.r.URL.Query() {
		if k != "saved" {
			q[k] = all
		}
	}
	q.Set(name, value)
	return v.r.URL.Path + "?" + q.Encode()
}

var fileTypes = map[string]string{"pdf": "application/pdf", "csv": "text/csv; charset=utf-8", "zip": "application/zip",
	"xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet", "json": "application/json"}

// file sends a file under a name made of what it is and the day; a PDF opens in the
// browser, from where it is printed or kept.
func (v *visit) file(title, kind string, body []byte) error {
	how := "attachment"
	if kind == "pdf" {
		how = "inline"
	}
	h := v.w.Header()
	h.Set("Content-Type", fileTypes[kind])
	h.Set("Content-Disposition", how+"; filename*=UTF-8''"+url.PathEscape(fileName(title)+" "+v.now.Format("2006-01-02")+"."+kind))
	h.Set("Cache-Control", "no-store")
	v.w.WriteHeader(http.StatusOK)
	_, _ = v.w.Write(body) // a browser that went away can't be told
	return nil
}

// fileName is a title without what folders and their systems can't have in a name.
func fileName(title string) string {
	s := strings.Map(func(r rune) rune {
		if r < ' ' || strings.ContainsRune(`/\:*?"<>|`, r) {
			return '-'
		}
		return r
	}, title)
	if r := []rune(s); len(r) > 80 {
		s = string(r[:80])
	}
	return strings.Trim(s, " .")
}
