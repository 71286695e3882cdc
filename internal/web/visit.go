package web

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
	"time"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
	"combline/internal/words"
)

// A visit is one request: who asks, in which language, and when.
type visit struct {
	s      *Server
	w      http.ResponseWriter
	r      *http.Request
	now    time.Time
	c      *words.Catalogue
	person record.Code // nobody yet: ""
	device record.Code
	people []office.Person // who works here now
	house  record.HouseNamed
	facts  uint64   // of which the page is made, at least
	unread []string // figures typed into a question that are none
}

// Cookies are what a device remembers; these are not secret.
const (
	personCookie = "person"
	langCookie   = "language"
	roomCookie   = "room" // dark
	handCookie   = "hand" // left
	sizeCookie   = "size" // tablet: large for gloves on any screen
)

// page makes a handler of one that sees a visit; its error is worded in one place.
func (s *Server) page(serve func(*visit) error) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		err := parsed(r)
		v := s.visit(w, r)
		if err == nil {
			err = serve(v)
		}
		if err != nil {
			v.wrong(err)
		}
	}
}

// parsed reads what a form holds, so that one that is too large is refused in words.
func parsed(r *http.Request) error {
	if r.Method != http.MethodPost {
		return nil
	}
	parse := r.ParseForm
	if strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
		parse = func() error { return r.ParseMultipartForm(mostBody) }
	}
	err := parse()
	if too := new(http.MaxBytesError); err != nil && !errors.As(err, &too) {
		return errors.Join(errTorn, err)
	}
	return err
}

func (s *Server) visit(w http.ResponseWriter, r *http.Request) *visit {
	v := &visit{s: s, w: w, r: r, now: s.office.Now()}
	var known office.Person
	asked := record.Code(cookie(r, personCookie))
	s.office.Read(func(h *office.View) {
		v.house, v.facts = h.State.House(), h.Facts()
		v.device = s.writesOn(h, r)
		for _, p := range h.People() {
			if p.Left {
				continue
			}
			v.people = append(v.people, p)
			if p.Person.Fold() == asked.Fold() && asked != "" {
				known, v.person = p, p.Person
			}
		}
	})
	tags := []string{known.Language, cookie(r, langCookie), v.house.Language}
	v.c = s.tongue.of(v.house, known.Units, append(tags, wanted(r.Header.Get("Accept-Language"))...)...)
	return v
}

// cookie is what a browser remembers under a name; names and codes may hold any letter.
func cookie(r *http.Request, name string) string {
	c, err := r.Cookie(name)
	if err != nil {
		return ""
	}
	value, err := url.QueryUnescape(c.Value)
	if err != nil {
		return ""
	}
	return value
}

// remember keeps a value in the browser; an empty one is forgotten.
func (v *visit) remember(name, value string) {
	if value == "" {
		v.keep(name, value, -1)
		return
	}
	v.keep(name, value, 400*24*3600)
}

// keep keeps a value in the browser for so many seconds. The house is reached without
// encryption in its own network, so a cookie can't be for encrypted lines alone.
func (v *visit) keep(name, value string, seconds int) {
	http.SetCookie(v.w, &http.Cookie{Name: name, Value: url.QueryEscape(value), Path: "/", HttpOnly: true,
		SameSite: http.SameSiteStrictMode, MaxAge: seconds})
}

// say gives a text of the pages.
func (v *visit) say(key string, args ...any) string { return v.c.Say(key, args...) }

// sentence words a line of an answer.
func (v *visit) sentence(l answer.Line) string { return answer.Sentence(v.c, l) }

// text prints a cell of an answer.
func (v *visit) text(cell answer.Cell) string { return answer.Text(v.c, cell) }

// arg is a value of the query, or of the form that was posted.
func (v *visit) arg(name string) string { return strings.TrimSpace(v.r.FormValue(name)) }

// of is the code that the page is about.
func (v *visit) of() record.Code { return record.Code(v.arg("of")) }

// see sends the browser to another page after a post.
func (v *visit) see(to string) error {
	http.Redirect(v.w, v.r, local(to), http.StatusSeeOther)
	return nil
}

// local is an address of these pages; anything else leads to Today.
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || u.Scheme != "" || u.Host != "" || u.User != nil || !strings.HasPrefix(u.Path, "/") ||
		strings.HasPrefix(to, "//") || strings.Contains(to, "\\") {
		return "/"
	}
	return to
}

// link makes an address from a path and pairs of names and values.
func link(path string, pairs ...string) string {
	q := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i+1] != "" {
			q.Set(pairs[i], pairs[i+1])
		}
	}
	if len(q) == 0 {
		return path
	}
	return path + "?" + q.Encode()
}
