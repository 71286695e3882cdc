package quantity

import (
	"fmt"
	"math/big"
)

// Apportion parts a whole number in proportion to parts by largest remainder:
// each gets its share rounded down, and what is left goes one by one to the
// largest fractions, the earlier part first where they are equal. The shares add
// up to whole exactly. Callers sort the parts, so that ties fall the same way
// every time.
func Apportion(whole int64, parts []Gram) ([]int64, error) {
	total := new(big.Int)
	for i, p := range parts {
		if p < 0 {
			return nil, fmt.Errorf("part %d is %d g, want 0 or more", i+1, p)
		}
		total.Add(total, big.NewInt(int64(p)))
	}
	if total.Sign() == 0 || whole < 0 {
		return nil, fmt.Errorf("%d can't be parted in proportion to %d parts of %v g together", whole, len(parts), total)
	}
	shares, rests, left := make([]int64, len(parts)), make([]*big.Int, len(parts)), whole
	for i, p := range parts {
		q, r := new(big.Int).Mul(big.NewInt(whole), big.NewInt(int64(p))), new(big.Int)
		q.QuoRem(q, total, r)
		shares[i], rests[i] = q.Int64(), r
		left -= shares[i]
	}
	for ; left > 0; left-- {
		i := greatest(rests)
		shares[i]++
		rests[i].SetInt64(-1)
	}
	return shares, nil
}

// greatest is the index of the first largest number.
func greatest(ns []*big.Int) int {
	at := 0
	for i, n := range ns {
		if n.Cmp(ns[at]) > 0 {
			at = i
		}
	}
	return at
}
