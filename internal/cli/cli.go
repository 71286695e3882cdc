// Package cli is the command line: it parses the arguments, wires the packages
// together and turns an error into an exit code. Each command stands in a file of
// its own, with a Run method that may take a context.Context and an *app.
package cli

import (
	"context"
	"fmt"
	"io"
	"runtime"

	"github.com/alecthomas/kong"

	"combline/internal/words"
)

// Streams are what a command reads from and writes to.
type Streams struct {
	In       io.Reader
	Out, Err io.Writer
}

// commands is the whole command line, one field a command.
type commands struct {
	House   string           `name:"house" placeholder:"DIR" help:"The house's folder. Without it: the current folder, then the last house opened."`
	Lang    string           `name:"lang" placeholder:"LANG" help:"Language of the answer: en, es or pl. Without it: the house's own."`
	JSON    bool             `name:"json" help:"Answer in JSON."`
	Version kong.VersionFlag `help:"Print the version and end."`

	Open     openCommand     `cmd:"" help:"Open a house, or set up a new one, and serve its pages."`
	Demo     demoCommand     `cmd:"" help:"Make the demo house, a whole invented season, and open it."`
	Day      dayCommand      `cmd:"" help:"The day sheet: what to do and when, what can't be met and why, what comes; and how the house stands. Now, or as it was known on a day."`
	Stock    stockCommand    `cmd:"" help:"How much honey there is, of what, where and in what state."`
	Trace    traceCommand    `cmd:"" help:"Where something comes from and where it went."`
	Balance  balanceCommand  `cmd:"" help:"What came in, what went out and what is missing: of a lot, a run, or the season."`
	Fill     fillCommand     `cmd:"" help:"How a run fills: whether a nozzle wanders, the verdict, what to set. With a source of weights: live."`
	Blend    blendCommand    `cmd:"" help:"The cheapest sound blend for an order or for what is typed; or why there is none, and what would do."`
	Warm     warmCommand     `cmd:"" help:"How hot, how long and from when, so that drums are fillable in time, and what it costs the honey."`
	Keeps    keepsCommand    `cmd:"" help:"What heat did to a honey, and how long it keeps."`
	Order    orderCommand    `cmd:"" help:"Open orders against what is free; one order; take orders, put by for them; what can't be filled, and what if."`
	Promise  promiseCommand  `cmd:"" help:"Can so much of a product be promised by a day: honey, hours, materials and other promises; else the earliest day, and what holds it."`
	Send     sendCommand     `cmd:"" help:"What to take for an order, first expired first out, with its lots; the delivery note."`
	Material stuffCommand    `cmd:"" name:"materials" help:"Packing stuff and ingredients that the open orders need: what is short, and by when to order."`
	Cost     costCommand     `cmd:"" help:"What a jar, a run, a kilogram or the season cost, part by part, and what of it is not known."`
	Settle   settleCommand   `cmd:"" help:"What a supplier is owed, lot by lot and line by line: weights in and out, moisture, fee, wax, his boxes."`
	Wax      waxCommand      `cmd:"" help:"Whose wax a block is, and how much wax there should be, lot by lot."`
	Label    labelCommand    `cmd:"" help:"What goes on a label and what must never; or the tag of a drum, the label of a pallet. Printed at true size."`
	Recall   recallCommand   `cmd:"" help:"What to call back when something is wrong with a thing, by share and by possibility, and who has it."`
	Drums    drumsCommand    `cmd:"" help:"Every filling of a drum, pail or tank: weights, lots, seal, place, and what became of it."`
	Complain faultsCommand   `cmd:"" name:"complaints" help:"Complaints: of which mark, from whom, what holds it, how they were answered."`
	Stated   statedCommand   `cmd:"" name:"statement" help:"The harvest statement of a lot, from the record: site, pull, weight, treatments, feed, disease enquiries."`
	Photo    photoCommand    `cmd:"" help:"Keep a photo of a complaint, a drum or anything else; or the photos that there are."`
	Blank    blankCommand    `cmd:"" help:"A form to fill in by hand where no tablet is: yard, bees, intake, extract, readings, clean."`
	Register registerCommand `cmd:"" help:"What happened in a month or from day to day, as an inspector asks for it; as sheets, a spreadsheet, CSV or events."`
	Scale    scaleCommand    `cmd:"" help:"Is a scale right, and if not, what was weighed since its last good check."`
	Ready    readyCommand    `cmd:"" help:"Dry enough to spin, clear enough to draw, set enough to jar: and if not, when."`
	Line     lineCommand     `cmd:"" help:"Will today's supers be done in time, and what holds the line up."`
	Top      topCommand      `cmd:"" help:"May honey go on top of what is in a tank, and what that costs in claims."`
	Seed     seedCommand     `cmd:"" help:"What seed and how much for a soft-set tank, whether it is dry enough, when to jar it."`
	Sets     setsCommand     `cmd:"" help:"Will a honey set before a day: by its sugars, and by what earlier honey of its kind did."`
	Pull     pullCommand     `cmd:"" help:"May a site be pulled on a day, and why; or which sites to pull first, with hot room and spinning."`
	Boxes    boxesCommand    `cmd:"" help:"Supers and combs that are due back, and where to; what to load for a site; boxes on the wrong hives."`
	Yield    yieldCommand    `cmd:"" help:"What each site gave in a year, per hive and per box."`
	LastYear lastYearCommand `cmd:"" help:"What was done around this day in earlier years: all of it, for a site or for a honey."`
	Stores   storesCommand   `cmd:"" help:"Winter stores: what a hive needs, how many frames may be taken, what must be fed; low, likely and high."`
	Start    startCommand    `cmd:"" help:"What must be cleaned and checked before the start, machine by machine."`
	Problems problemsCommand `cmd:"" help:"What was not as it should be, where, what was done about it and by whom."`
	Safety   safetyCommand   `cmd:"" name:"safety-plan" help:"The food-safety plan: hazards and control points as the house set them, what is offered, who signed."`
	Release  releaseCommand  `cmd:"" help:"Are the results back, and do they let it go. It frees nothing: that is recorded by somebody."`
	Next     nextCommand     `cmd:"" help:"Which number comes next of those that begin alike."`
	Facts    factsCommand    `cmd:"" help:"Every fact that bears a code, with its number."`
	Record   recordCommand   `cmd:"" help:"Record one fact."`
	BringIn  bringInCommand  `cmd:"" help:"Record a table of facts: all rows, or none."`
	Correct  correctCommand  `cmd:"" help:"Put another fact in the place of one that was wrong, or strike it."`
	Ledger   ledgerCommands  `cmd:"" help:"Check, copy, restore, export and import the record."`
	Reckon   reckonCommand   `cmd:"" passthrough:"" help:"Answer a question about honey or its rules, with no house at all."`
}

// app is what every command is lent.
type app struct {
	Streams
	json  bool
	house string // as --house names it
	lang  string // as --lang names it
	words *words.Catalogue
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
	a := &app{Streams: s}
	k, err := parser(&c, s)
	if err != nil {
		return a.report(err)
	}
	byDesktop := len(args) == 0 && doubleClicked()
	if len(args) == 0 {
		args = []string{"open"} // what a double click on the program means
	}
	parsed, err := k.Parse(args)
	if err != nil {
		return a.report(err)
	}
	a.json, a.house, a.lang = c.JSON, c.House, c.Lang
	parsed.BindTo(ctx, (*context.Context)(nil))
	code = a.report(parsed.Run(a))
	if code != 0 && byDesktop && runtime.GOOS == "windows" {
		_, _ = fmt.Fscanln(s.In) // the window would close before anybody read why
	}
	return code
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
