package web

import (
	"fmt"
	"net/http"
	"time"

	"combline/internal/office"
)

// beat is how often an open page hears that the house is there, and its clock.
const beat = 10 * time.Second

// news tells an open page when facts were recorded, as server-sent events: an event
// without a name bears the number of the last fact; "clock" bears time and day; "blend" the name of a
// search that came further.
func (s *Server) news(w http.ResponseWriter, r *http.Request) {
	line := http.NewResponseController(w)
	_ = line.SetReadDeadline(time.Time{}) // the stream has no end of its own
	w.Header().Set("Content-Type", "text/event-stream")
	w.Header().Set("Cache-Control", "no-store")
	v := s.visit(w, r)
	facts, stop := s.office.Watch()
	defer stop()
	blends, stopBlends := s.office.WatchBlends()
	defer stopBlends()
	tick := time.NewTicker(beat)
	defer tick.Stop()
	send := func(format string, args ...any) bool {
		_ = line.SetWriteDeadline(time.Now().Add(patience))
		_, err := fmt.Fprintf(w, format, args...)
		return err == nil && line.Flush() == nil
	}
	clock := func() bool {
		now := s.office.Now()
		return send("event: clock\ndata: %s|%s\n\n", v.c.Clock(now), v.c.DayMonth(now))
	}
	var now uint64 // what was written before this stream began is news to an older page
	s.office.Read(func(h *office.View) { now = h.Facts() })
	for ok := clock() && send("data: %d\n\n", now); ok; {
		select {
		case seq := <-facts:
			ok = s.mayCome(r) && send("data: %d\n\n", seq) // it may have been shut out
		case id := <-blends:
			ok = s.mayCome(r) && send("event: blend\ndata: %s\n\n", id)
		case <-tick.C:
			ok = clock()
		case <-r.Context().Done():
			return
		case <-s.quit:
			return
		}
	}
}
