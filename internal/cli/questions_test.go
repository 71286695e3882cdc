//go:build !race

package cli

import (
	"bytes"
	"cmp"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
)

const questionsPage = "../../docs/questions.md"

// A question as the person who runs a honey house asks it, and what answers it in the
// demo house. One that nothing answers yet stands on the page as open.
type asked struct {
	ask     string // as they say it
	command string // what answers it, without "combline"; several are parted by " ; "
	exit    int    // its exit code, where a no is the answer
	says    string // what it must say, as a regular expression
	page    string // the page that answers it
	shows   string // what that page must show
	rests   string // what the answer rests on
}

// Each of the fifty-five questions is answered by its command and by its page, on the
// demo house, with the figure that the season gives; docs/questions.md is written from
// this very table.
func TestQuestions(t *testing.T) {
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
	dir := demoHouse(t, filepath.Join(t.TempDir(), "house"))
	if len(questions) != 55 {
		t.Errorf("%d questions", len(questions))
	}
	for i, q := range questions {
		if q.command == "" {
			continue
		}
		for _, line := range strings.Split(q.command, " ; ") {
			var out bytes.Buffer
			args := append([]string{"--house", dir}, split(line)...)
			if code := Run(t.Context(), args, Streams{strings.NewReader(""), &out, &out}); code != q.exit {
				t.Errorf("question %d: combline %s: exit code %d, want %d: %.300s", i+1, line, code, q.exit, out.String())
			}
			if line == lastOf(q.command) && !regexp.MustCompile(q.says).MatchString(out.String()) {
				t.Errorf("question %d: combline %s does not say %q: %.1500s", i+1, line, q.says, out.String())
			}
		}
	}
	address, stop := started(t, "open", dir)
	defer stop()
	for i, q := range questions {
		if q.page == "" {
			continue
		}
		text := ""
		for range 200 { // a sheet that is drawn up anew is looked at again
			text = textOf(get(t, strings.TrimSuffix(address, "/")+q.page))
			if !strings.Contains(text, "Look again") {
				break
			}
			time.Sleep(200 * time.Millisecond)
		}
		if q.shows == "" || !regexp.MustCompile(q.shows).MatchString(text) {
			t.Errorf("question %d: page %s does not show %q: %.1500s", i+1, q.page, q.shows, text)
		}
	}
}

func TestQuestionsPage(t *testing.T) {
	var b strings.Builder
	b.WriteString("# The questions, and what answers them\n\n" +
		"<!-- Written by a test from its own table: go test ./internal/cli -run QuestionsPage -update -->\n\n" +
		"What the person who runs a honey house asks, as they say it. Each command and page was tried on the demo house\n" +
		"(`make demo`) by a test that knows the figure it must give. Every answer shows its doubt and its own \"rests on\" line.\n" +
		"A question that nothing answers yet says **open**.\n\n" +
		"| # | question | command | page | rests on |\n| --- | --- | --- | --- | --- |\n")
	for i, q := range questions {
		fmt.Fprintf(&b, "| %d | %s | %s | %s | %s |\n", i+1, q.ask, code(q.command, "`combline "), code(q.page, "`"), cmp.Or(q.rests, "-"))
	}
	if *update {
		if err := os.WriteFile(questionsPage, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	if page, err := os.ReadFile(questionsPage); err != nil || string(page) != b.String() {
		t.Errorf("docs/questions.md is not as the table says (%v): run the test with -update", err)
	}
}

func code(text, head string) string {
	if text == "" {
		return "**open**"
	}
	return head + strings.ReplaceAll(strings.ReplaceAll(text, "|", `\|`), " ; ", "`, `combline ") + "`"
}

func lastOf(command string) string {
	all := strings.Split(command, " ; ")
	return all[len(all)-1]
}

// split parts a command line at its spaces, but for those between quotes.
func split(line string) (all []string) {
	for _, x := range regexp.MustCompile(`(?:[^\s"]|"[^"]*")+`).FindAllString(line, -1) {
		all = append(all, strings.ReplaceAll(x, `"`, ""))
	}
	return all
}

// textOf is what a page shows, without its marks.
func textOf(page string) string {
	page = regexp.MustCompile(`(?s)<(script|style|svg)\b.*?</(script|style|svg)>|<[^>]*>`).ReplaceAllString(page, " ")
	return strings.Join(strings.Fields(html.UnescapeString(page)), " ")
}
