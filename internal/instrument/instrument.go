// Package instrument reads what instruments send: the weights of a filler's jars from a
// file, standard input, a TCP socket, a serial line or MQTT. A [Source] brings lines; a
// [Pattern], written by whoever knows the instrument, says what stands in a line; a
// [Stream] puts the frames in order, tells what is lost, doubled or odd, and gives the
// jars; a [Journal] keeps them safe until they are in the record.
//
// No instrument's own protocol has a name here, and nothing is ever sent that would
// set a machine.
package instrument

// A Fault is what is the matter with a line or a frame.
type Fault uint8

const (
	NoFault   Fault = iota
	NotText         // bytes that are no text
	TooLong         // a line longer than any frame
	NoMatch         // the pattern does not fit
	BadNumber       // a number that is none, or too large
	BadUnit         // a unit that is no weight
	BadTime         // a time that is none
	Unstable        // the scale had not settled
	Doubled         // the same frame again
	Late            // a frame out of order; it is put in
	Lost            // numbers that never came
	ClockBack       // the instrument's clock went back
	Restarted       // the instrument counts from the start again
	LinkDown        // the line is cut
	LinkUp          // and there again
	CutShort        // a frame that broke off
	faultCount
)

var faultNames = [faultCount]string{"", "not-text", "too-long", "no-match", "bad-number", "bad-unit", "bad-time", "unstable", "doubled", "late",
	"lost", "clock-back", "restarted", "link-down", "link-up", "cut-short"}

func (f Fault) String() string { return faultNames[min(f, faultCount-1)] }

// Key is the fault's key in package words.
func (f Fault) Key() string { return "fill.fault." + f.String() }

// Faults lists every fault.
func Faults() (all []Fault) {
	for f := NotText; f < faultCount; f++ {
		all = append(all, f)
	}
	return all
}
