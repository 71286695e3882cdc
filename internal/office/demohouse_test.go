package office_test

import (
	"context"
	"testing"

	"combline/internal/demo"
	"combline/internal/ledger"
	"combline/internal/office"
)

// demoOffice is the demo house at the end of its season.
func demoOffice(t testing.TB) *office.Office {
	t.Helper()
	c := &demo.Clock{}
	o, err := office.Open(context.Background(), &ledger.Memory{}, c.Now, nil)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(o.Close)
	if err := demo.Write(context.Background(), o, c); err != nil {
		t.Fatal(err)
	}
	return o
}
