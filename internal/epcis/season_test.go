package epcis_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"
	"time"

	"combline/internal/demo"
	"combline/internal/epcis"
	"combline/internal/ledger"
	"combline/internal/office"
	"combline/internal/record"
)

type event struct {
	Type, EventTime, BizStep, ParentID, Action string
	EpcList, ChildEPCs                         []string
	QuantityList, ChildQuantityList            []amount
	InputQuantityList, OutputQuantityList      []amount
	Ilmd                                       map[string]string
}

type amount struct {
	EpcClass, Uom string
	Quantity      float64
}

// The demo house's season as events: valid by the standard's schema, and its figures
// those of the scenario.
func TestSeason(t *testing.T) {
	clock := &demo.Clock{}
	o, err := office.Open(context.Background(), new(ledger.Memory), clock.Now, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer o.Close()
	if err := demo.Write(context.Background(), o, clock); err != nil {
		t.Fatal(err)
	}
	var doc []byte
	o.Read(func(v *office.View) {
		events, err := v.Events(0, 0)
		if err != nil {
			t.Fatal(err)
		}
		if doc, err = epcis.Document(events, v.Terms(), time.Date(2026, 11, 30, 18, 0, 0, 0, time.UTC)); err != nil {
			t.Fatal(err)
		}
		some, err := v.Events(record.Day(date(2026, 10, 1)), record.Day(date(2026, 10, 31)))
		if err != nil || len(some) == 0 || len(some) >= len(events) {
			t.Errorf("October has %d of %d events, %v", len(some), len(events), err)
		}
		for _, e := range some {
			if !strings.HasPrefix(e.Time, "2026-10-") {
				t.Errorf("%s is not in October", e.Time)
			}
		}
	})
	if err := epcis.Valid(t, epcis.Schema(t), doc); err != nil {
		t.Fatal(err)
	}
	var back struct {
		EpcisBody struct{ EventList []event }
	}
	if err := json.Unmarshal(doc, &back); err != nil {
		t.Fatal(err)
	}
	made := map[string]event{}
	var shipped, packed int
	for _, e := range back.EpcisBody.EventList {
		for _, q := range append(e.OutputQuantityList, e.QuantityList...) {
			if e.BizStep == "commissioning" {
				made[q.EpcClass[strings.LastIndex(q.EpcClass, "/")+1:]] = e
			}
		}
		switch e.BizStep {
		case "shipping":
			shipped++
		case "packing":
			packed++
		}
	}
	// D041 is 290 kg of L06; run R2 packed 6312 jars (scenario sections 3 and 6).
	if e := made["D041"]; len(e.InputQuantityList) == 0 || e.OutputQuantityList[0].Quantity != 290 {
		t.Errorf("D041: %+v", e)
	}
	if e := made["L06"]; e.Ilmd["house:site"] == "" || e.Ilmd["cbvmda:harvestStartDate"] != "2026-07-24" {
		t.Errorf("L06: %+v", e)
	}
	jars := 0.0
	for code, e := range made {
		if strings.HasPrefix(code, "R2") && e.Type == epcis.Transformation {
			jars += e.OutputQuantityList[0].Quantity
		}
	}
	if jars != 6312 {
		t.Errorf("R2 made %g jars, want 6312", jars)
	}
	if shipped < 8 || packed < 500 {
		t.Errorf("%d dispatches and %d cases", shipped, packed)
	}
}

func date(y int, m time.Month, d int) int64 {
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix() / 86400
}
