package cli

import (
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"combline/internal/answer"
	"combline/internal/office"
	"combline/internal/record"
)

type photoCommand struct {
	Code string `arg:"" help:"What the photo is of: a complaint, a drum, a lot, whatever has a number."`
	File string `arg:"" optional:"" help:"A JPEG or PNG picture to keep. Without it: the photos that there are."`
	Note string `placeholder:"TEXT" help:"What is to be seen on it."`
	Out  string `name:"out" placeholder:"DIR" help:"Write the photos that there are into a new folder."`
	writer
}

func (c *photoCommand) Run(ctx context.Context, a *app) error {
	code, err := named(c.Code)
	if err != nil {
		return err
	}
	if c.File != "" {
		return c.keep(ctx, a, code)
	}
	h, err := a.reading(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	var all []office.Photo
	var x answer.Answer
	h.Read(func(v *office.View) { all, x = v.Photos(code), v.PhotoList(code) })
	if c.Out == "" || x.Cannot != nil {
		return a.show(x)
	}
	if err := os.Mkdir(c.Out, 0o755); err != nil {
		return err
	}
	for _, p := range all {
		b, err := h.PhotoBytes(ctx, p.Digest)
		if err != nil {
			return inFolder(h.dir, err)
		}
		if err := a.newFile(filepath.Join(c.Out, photoName(p)), b); err != nil {
			return err
		}
	}
	return nil
}

// photoName is a name that no two photos share.
func photoName(p office.Photo) string {
	return fmt.Sprintf("%d-%s.%s", p.Fact, hex.EncodeToString(p.Digest)[:8], strings.TrimPrefix(p.Type, "image/"))
}

func (c *photoCommand) keep(ctx context.Context, a *app, code record.Code) error {
	photo, err := readPhoto(c.File)
	if err != nil {
		return err
	}
	h, err := a.writing(ctx)
	if err != nil {
		return err
	}
	defer h.Close()
	d, err := c.draft(h, record.Key(randomKey()))
	if err != nil {
		return err
	}
	known := false
	h.Read(func(v *office.View) { _, known = v.State.Find(code) })
	if !known { // before anything is kept of it
		return inFolder(h.dir, office.NotKnown("about", code))
	}
	f, err := h.PutPhoto(ctx, code, photo, c.Note)
	if err != nil {
		return inFolder(h.dir, err)
	}
	d.Facts = []record.Fact{f}
	r, err := submit(ctx, h.Office, d, c.Confirm)
	if err != nil {
		return inFolder(h.dir, err)
	}
	x := answer.Answer{Question: "photo", Of: code}
	receipt(&x, r)
	return a.show(x)
}

// readPhoto reads a file, but no more of it than shows that it is too large.
func readPhoto(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	photo, err := io.ReadAll(io.LimitReader(f, office.MostPhoto+1))
	return photo, errors.Join(err, f.Close())
}
