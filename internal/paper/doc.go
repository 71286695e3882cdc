// Package paper prints: labels and tags at true size, bar codes, and every answer as
// A4 sheets, as PDF files with their fonts inside. The same content printed again gives
// the same bytes, so that a digest in the record proves what was printed.
package paper
