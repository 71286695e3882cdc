package web

import (
	"errors"
	"log"
	"net/http"

	"combline/internal/answer"
	"combline/internal/house"
	"combline/internal/office"
	"combline/internal/record"
)

// errNotFound means that there is no such page or thing.
var errNotFound = errors.New("there is no such page")

// errTorn means that a form did not arrive whole.
var errTorn = errors.New("the form did not arrive whole")

type wrongPage struct {
	*frame
	Text string
	Next string
	Near []option
}

// wrong words an error that a page could not show itself.
func (v *visit) wrong(err error) {
	if !v.s.mayCome(v.r) { // the frame is the house's
		log.Printf("%s %s from %s: %v", v.r.Method, v.r.URL.Path, address(v.r), err)
		http.Error(v.w, "That did not work.", http.StatusBadRequest)
		return
	}
	p := wrongPage{frame: v.frame("", v.say("page.wrong.title"))}
	status := http.StatusInternalServerError
	var too *http.MaxBytesError
	var no *house.Refusal
	var missing *notThere
	switch {
	case errors.As(err, &missing):
		status, p.Text, p.Next = http.StatusNotFound, v.say("page.wrong.no-code", "code", string(missing.code)), v.say("page.wrong.look")
		for _, c := range missing.near {
			p.Near = append(p.Near, option{Text: string(c), Href: link(v.r.URL.Path, "of", string(c))})
		}
	case errors.Is(err, errNotFound):
		status, p.Text = http.StatusNotFound, v.say("page.wrong.no-page")
	case errors.Is(err, errTorn):
		status, p.Text, p.Next = http.StatusBadRequest, v.say("page.wrong.torn"), v.say("page.wrong.send-again")
	case errors.As(err, &no):
		status, p.Text, p.Next = http.StatusUnprocessableEntity, v.refusal(no), v.next(no)
	case errors.As(err, &too):
		status, p.Text = http.StatusRequestEntityTooLarge, v.say("page.wrong.too-large", "most", int64(too.Limit/1024))
	case errors.Is(err, office.ErrClosed):
		status, p.Text = http.StatusServiceUnavailable, v.say("page.wrong.closed")
	default:
		log.Printf("%s %s: %v", v.r.Method, v.r.URL.Path, err)
		p.Text, p.Next = v.say("page.wrong.inside", "why", err.Error()), v.say("page.wrong.again")
	}
	if e := v.renderAs(status, "wrong", p); e != nil {
		http.Error(v.w, err.Error(), status)
	}
}

// notThere means that no thing of the house bears a code.
type notThere struct {
	code record.Code
	near []record.Code // that it could have meant
}

func (e *notThere) Error() string { return "nothing bears the code " + string(e.code) }

// refusal words what a rule of the house said.
func (v *visit) refusal(no *house.Refusal) string {
	return v.sentence(answer.Line{Key: no.Key, Args: no.Args})
}

// next words what to do after a refusal.
func (v *visit) next(no *house.Refusal) string {
	if no.Next == "" {
		return ""
	}
	return v.sentence(answer.Line{Key: no.Next, Args: no.Args})
}
