// Package web is the pages: what people in the house see and tap.
//
// # How to add a page
//
//  1. Write name.go with a struct that embeds *frame and holds what the page shows,
//     ready to print, and a handler func (v *visit) error. The handler asks the office
//     once, with v.s.office.Read, makes the struct, and ends with
//     v.render("name", page). What a page needs to know and no query answers becomes a
//     query in package office, in a file of its own.
//  2. Write page/name.html: {{define "main"}} … {{end}}. A template never computes.
//     Parts to use are in page/part.html: "num" (a figure with its doubt that opens
//     how it was made), "chip" (a state), "table" (a [sheet] of an answer's table),
//     "line", "field" and "form".
//  3. Add the route in routes.go, and the name to everyPage in page_test.go.
//  4. Put every text into words/{en,es,pl}.txt as page.name.… and say it with
//     {{$.Say "page.name.…"}} or v.say. The tests find a text that is missing.
//
// A page that records facts describes them as a [task]: which kinds, which cells, what
// is fixed. The task's form carries the key that makes a double tap harmless and the
// contents that were shown; [visit.take] records it, asks back, or shows it again with
// what is wrong and nothing lost. See task.go.
//
// Parts of a page that change by themselves bear an id and data-live; the script reads
// the page again when the house has news. Every page and form works without script.
// There are no style attributes, for the policy forbids them: honey's colour is the
// fill of an SVG shape, sizes come from the stylesheet or from em.
package web

import (
	"net/http"
	"sync"
	"time"

	"combline/internal/office"
)

// Options say how the pages are served.
type Options struct {
	Version string // of the program
	Folder  string // name of the house's folder, shown in the settings
	LAN     bool   // other devices than this one may ask, once they are paired
	Store   Store  // nil: nothing is kept beside the facts
	// Names are those of this machine in the network, by which others may ask for it.
	Names []string
	// Addresses lists where other devices find the pages now; nil: nowhere.
	Addresses func() []string
	Printer   Printer // makes PDF files and spreadsheets of what the pages show
	Labels    LabelPrinter
}

// A Store keeps what is not a fact of the house: devices' tokens, digests of PINs,
// sign-ins that survive a restart. It is safe for concurrent use.
type Store interface {
	// Load returns what was saved under name, or nil when nothing was.
	Load(name string) ([]byte, error)
	// Save puts value under name; it is durable when Save returns.
	Save(name string, value []byte) error
}

// A Server is the pages of one house.
type Server struct {
	office *office.Office
	opts   Options
	tongue tongues
	pages  pages
	assets assets
	access *access
	front  http.Handler
	quit   chan struct{}
	once   sync.Once
}

// New makes the pages of a house.
func New(o *office.Office, opts Options) (*Server, error) {
	s := &Server{office: o, opts: opts, quit: make(chan struct{})}
	var err error
	if s.tongue, err = loadTongues(); err != nil {
		return nil, err
	}
	if s.assets, err = loadAssets(); err != nil {
		return nil, err
	}
	if s.pages, err = loadPages(); err != nil {
		return nil, err
	}
	if s.access, err = newAccess(opts.Store); err != nil {
		return nil, err
	}
	s.front = s.guard(s.door(s.routes()))
	return s, nil
}

// Close ends what is being streamed, so that an http.Server can shut down.
func (s *Server) Close() { s.once.Do(func() { close(s.quit) }) }

func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.front.ServeHTTP(w, r) }

// HTTP is an http.Server for the pages that does not wait for slow or silent clients.
// The stream of news has no end of its own, so writing is timed page by page.
func (s *Server) HTTP() *http.Server {
	h := &http.Server{Handler: s, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: patience, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10}
	h.RegisterOnShutdown(s.Close)
	return h
}
