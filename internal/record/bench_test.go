package record

import "testing"

func BenchmarkDecode(b *testing.B) {
	var bodies []string
	for _, s := range sampleBodies(b) {
		bodies = append(bodies, string(s))
	}
	b.ReportAllocs()
	for i := 0; b.Loop(); i++ {
		if _, err := Decode(bodies[i%len(bodies)]); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNames(b *testing.B) {
	n := 0
	tell := func(Code, bool, []Entity) { n++ }
	e := sample(KindHoneyMoved)
	for b.Loop() {
		Names(e.Fact, tell)
	}
}
