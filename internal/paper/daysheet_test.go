package paper

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"

	"combline/internal/answer"
	"combline/internal/record"
	"combline/internal/words"
)

// A day's sheet is one page, however many jobs there are: the rest is counted. The page
// objects of the PDF are counted (ISO 32000-1, 7.7.3.3: each has /Type /Page).
func TestDaySheetIsOnePage(t *testing.T) {
	built(t)
	for _, jobs := range []int{0, 3, 80} {
		for _, lang := range []words.Lang{"en", "es", "pl"} {
			a := answer.Answer{Question: "day"}
			a.Say("day.of", answer.Args{"house": "Thornmere", "day": record.DayOf(time.Date(2026, 9, 17, 0, 0, 0, 0, time.UTC)), "facts": int64(9)})
			a.Lines = append(a.Lines, answer.Line{Key: "day.jobs", Args: answer.Args{"n": int64(jobs), "all": int64(jobs)}, Mark: answer.Bad})
			table := a.Table("jobs", "job_n", "clock", "job", "order", "reason", "status")
			for n := range jobs {
				table.Row(answer.Plain, int64(n+1), "16:30", answer.Line{Key: "job.other", Args: answer.Args{"job": strings.Repeat("long words ", 12)}}, record.Code("O-01"), nil, answer.Key("job.status.open"))
			}
			coming := a.Table("coming", "day_on", "clock", "job", "order")
			for n := range jobs {
				coming.Row(answer.Plain, record.Day(20000+n), nil, answer.Line{Key: "job.other", Args: answer.Args{"job": fmt.Sprint(n)}}, nil)
			}
			pdf, err := Sheets(catalogue(t, lang), Report{House: "Thornmere", Title: "Day sheet", Answer: a, Made: made})
			if err != nil {
				t.Fatal(err)
			}
			if n := bytes.Count(pdf, []byte("/Type /Page\n")); n != 1 {
				t.Errorf("%d jobs, %s: %d pages", jobs, lang, n)
			}
		}
	}
}
