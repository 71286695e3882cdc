// Package office is what people do with a house: each use case decides, appends,
// folds and publishes; each question is a method that returns an answer. It is the
// only place where the record grows.
package office

import (
	"context"
	"iter"

	"combline/internal/chain"
)

// A Book is what the office needs of a ledger.
type Book interface {
	// Append adds bodies after head, all or none, and returns the new head; they are
	// durable when it returns. If another writer came first, the error wraps
	// [chain.ErrHeadMoved] and nothing is written.
	Append(ctx context.Context, head chain.Head, bodies ...[]byte) (chain.Head, error)
	// Head is the end of the record.
	Head() chain.Head
	// Links yields the links after seq, verified, in order, up to the first error.
	Links(ctx context.Context, after uint64) iter.Seq2[chain.Stored, error]
}
