// Package cli is the command line: it parses the arguments, wires the packages
// together and turns an error into an exit code. Each command stands in a file of
// its own, with a Run method that may take a context.Context and an *app.
package cli

import (
	"context"
	"fmt"
	"io"

	"github.com/alecthomas/kong"
)

// Streams are what a command reads from and writes to.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// commands is the whole command line, one field a command.
type commands struct {
	JSON    bool             `name:"json" help:"Answer in JSON."`
	Version kong.VersionFlag `help:"Print the version and end."`

	Reckon reckonCommand `cmd:"" passthrough:"" help:"Answer a question about honey or its rules, with no house at all."`
}

// app is what every command is lent.
type app struct {
	Streams
	json bool
}

// Run carries out one command line and returns the exit code.
func Run(ctx context.Context, args []string, s Streams) (code int) {
	defer func() {
		switch r := recover().(type) {
		case nil:
		case ended:
			code = int(r)
		default:
			panic(r)
		}
	}()
	var c commands
	k, err := parser(&c, s)
	if err != nil {
		return report(s.Err, err)
	}
	parsed, err := k.Parse(args)
	if err != nil {
		return report(s.Err, err)
	}
	parsed.BindTo(ctx, (*context.Context)(nil))
	return report(s.Err, parsed.Run(&app{Streams: s, json: c.JSON}))
}

// ended is how kong leaves after --help and --version.
type ended int

func parser(c *commands, s Streams) (*kong.Kong, error) {
	return kong.New(c,
		kong.Name("combline"),
		kong.Description("Keeps the record of a honey house and answers from it."),
		kong.Writers(s.Out, s.Err),
		kong.Exit(func(code int) { panic(ended(code)) }),
		kong.Help(help),
		kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.Vars{"version": version()},
	)
}

// help is kong's own, with the exit codes below.
func help(o kong.HelpOptions, c *kong.Context) error {
	if err := kong.DefaultHelpPrinter(o, c); err != nil {
		return err
	}
	_, err := fmt.Fprint(c.Stdout, "\n", exitCodes())
	return err
}
