package cli

import (
	"context"
	"fmt"
	"slices"

	"combline/internal/reckon"
)

// reckonCommand hands all that follows the word to package reckon, whose table of
// subjects knows the flags.
type reckonCommand struct {
	Args []string `arg:"" optional:"" help:"A subject and its flags; --list lists the subjects."`
}

func (c *reckonCommand) Run(ctx context.Context, a *app) error {
	err := reckon.Run(ctx, c.Args, a.json, a.In, a.Out, a.Err)
	if err == nil && (slices.Contains(c.Args, "--help") || slices.Contains(c.Args, "-h")) {
		_, err = fmt.Fprint(a.Out, "\n", exitCodes())
	}
	return err
}
