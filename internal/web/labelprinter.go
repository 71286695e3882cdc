package web

import (
	"time"

	"combline/internal/office"
)

// A LabelPrinter draws labels and tags, each in its own language: lang is en, es or pl, a
// size is 90x60 or a4:2x4. Where a function is nil there are no labels to print.
type LabelPrinter struct {
	Asked   func(office.LabelLook) office.LabelLook // completes what is asked of a label
	Labels  office.LabelDraw
	Picture func(m office.LabelMade, look office.LabelLook, alt string) ([]byte, error) // SVG
	Parcels func(lang, size string, all []office.ParcelMade, copies int, made time.Time) ([]byte, error)
	Tags    func(lang, size string, all []office.TagMade, copies int, made time.Time) ([]byte, error)
}
