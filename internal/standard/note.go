package standard

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"strings"
)

// A Note is a rule in words: something to print, keep or do, with its source.
// It is shown as a source is quoted; package words does not translate it.
type Note struct {
	ID        string
	Group     string // market or field
	Subject   string
	Condition string
	Rule      string
	Source    string
	Got       Got
}

//go:embed data/label_rules.csv
var labelCSV string

//go:embed data/traceability_rules.csv
var traceCSV string

//go:embed data/haccp_honey.csv
var safetyCSV string

//go:embed data/target_and_control_rules.csv
var controlCSV string

// LabelNotes are the rules for labels. Each call reads the table anew: keep
// what it returns.
func LabelNotes() ([]Note, error) {
	return notes(labelCSV, "id,regime,subject,condition,requirement,source,got", func(f []string) Note {
		return Note{ID: f[0], Group: f[1], Subject: f[2], Condition: f[3], Rule: f[4], Source: f[5]}
	})
}

// TraceNotes are the rules for tracing and its records.
func TraceNotes() ([]Note, error) {
	return notes(traceCSV, "id,subject,rule,source,got", func(f []string) Note {
		return Note{ID: f[0], Subject: f[1], Rule: f[2], Source: f[3]}
	})
}

// SafetyNotes are hazards and control points of a honey house.
func SafetyNotes() ([]Note, error) {
	return notes(safetyCSV, "id,group,point,source,got", func(f []string) Note {
		return Note{ID: f[0], Group: f[1], Rule: f[2], Source: f[3]}
	})
}

// ControlNotes are the rules for filling control and its records.
func ControlNotes() ([]Note, error) {
	return notes(controlCSV, "id,subject,rule,source,got", func(f []string) Note {
		return Note{ID: f[0], Subject: f[1], Rule: f[2], Source: f[3]}
	})
}

func notes(table, header string, of func([]string) Note) ([]Note, error) {
	rows, err := csv.NewReader(strings.NewReader(table)).ReadAll()
	if err != nil {
		return nil, fmt.Errorf("rule table: %w", err)
	}
	if len(rows) == 0 || strings.Join(rows[0], ",") != header {
		return nil, fmt.Errorf("rule table without the header %q", header)
	}
	out := make([]Note, 0, len(rows)-1)
	for _, f := range rows[1:] {
		n := of(f)
		switch f[len(f)-1] {
		case "read":
			n.Got = Read
		case "memory":
			n.Got = Memory
		default:
			return nil, fmt.Errorf("rule %s: how the figure was got is %q, want read or memory", n.ID, f[len(f)-1])
		}
		out = append(out, n)
	}
	return out, nil
}
