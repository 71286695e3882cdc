package cli

import (
	"flag"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/alecthomas/kong"
)

var update = flag.Bool("update", false, "write each command's help into docs/commands.md")

const commandsPage = "../../docs/commands.md"

// leaves lists every command that can be run: "ledger verify".
func leaves(t *testing.T) (all []string) {
	t.Helper()
	k, err := parser(new(commands), Streams{Out: io.Discard, Err: io.Discard})
	if err != nil {
		t.Fatal(err)
	}
	for _, n := range k.Model.Leaves(true) {
		if n.Type == kong.CommandNode {
			all = append(all, strings.TrimPrefix(n.Path(), "combline "))
		}
	}
	return all
}

var helpBlock = regexp.MustCompile("(?s)```\n\\$ combline ([a-z -]*?) ?--help\n(.*?)```")

// The page of the commands shows each command's help as it is, exit codes too.
func TestCommandsPage(t *testing.T) {
	page, err := os.ReadFile(commandsPage)
	if err != nil {
		t.Fatal(err)
	}
	shown := map[string]bool{}
	now := helpBlock.ReplaceAllStringFunc(string(page), func(block string) string {
		words := helpBlock.FindStringSubmatch(block)[1]
		shown[words] = true
		return "```\n$ combline " + strings.TrimSpace(words+" --help") + "\n" + helpOf(t, words) + "```"
	})
	if *update {
		if err := os.WriteFile(commandsPage, []byte(now), 0o644); err != nil {
			t.Fatal(err)
		}
	} else if now != string(page) {
		t.Error("docs/commands.md does not show the help as it is; run the test with -update")
	}
	for _, c := range append(leaves(t), "") {
		if !shown[c] {
			t.Errorf("docs/commands.md does not show combline %s --help", c)
		}
	}
}

// helpOf is the help of a command. The exit codes, which stand in every help, are
// shown once on the page.
func helpOf(t *testing.T, command string) string {
	t.Helper()
	var b strings.Builder
	args := append(strings.Fields(command), "--help")
	if code := Run(t.Context(), args, Streams{nil, &b, &b}); code != 0 {
		t.Fatalf("combline %s: exit code %d", strings.Join(args, " "), code)
	}
	text, codes, ok := strings.Cut(b.String(), "\nExit codes:\n")
	if !ok || "Exit codes:\n"+codes != exitCodes() {
		t.Errorf("combline %s --help does not end with the exit codes", command)
	}
	if command == "" {
		return b.String()
	}
	return text
}
