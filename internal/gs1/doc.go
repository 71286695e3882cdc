// Package gs1 reads, checks and writes what stands in the bar codes of jars, cases
// and pallets: element strings of application identifiers, Digital Link addresses,
// and the canonical form of older EPC names.
//
// Sources: GS1 syntax dictionary (2026), GS1 General Specifications section 3, GS1
// Digital Link URI syntax, EPCIS/CBV 2.0 section 8.9 for the canonical form. Only the
// identifiers that a honey house prints or meets are known; any other is an error and
// never guessed at, since its length could not be known.
package gs1
