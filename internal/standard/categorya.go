package standard

// NIST Handbook 133 Appendix A Table 2-1, category A: the printed sample
// correction factors, from memory. One jar has no correction.
var usFactors = [...]printed{
	{1, 0, usTable21}, {2, 8_985_000, usTable21}, {3, 2_484_000, usTable21}, {4, 1_591_000, usTable21},
	{5, 1_242_000, usTable21}, {6, 1_049_000, usTable21}, {7, 925_000, usTable21}, {8, 836_000, usTable21},
	{9, 769_000, usTable21}, {10, 715_000, usTable21}, {11, 672_000, usTable21}, {12, 635_000, usTable21},
	{24, 422_000, usTable21}, {48, 291_000, usTable21},
}

var usTable21 = Cite{USContents, "Appendix A Table 2-1", Memory}

// categoryA is the US plan: how many jars of a lot, and how many of them may
// fall short by more than the allowable variation.
func categoryA(lot int) Plan {
	p := Plan{Method: Single, Batch: lot, From: lot, To: lot, Cite: usTable21}
	n, allowed := lot, 0
	switch {
	case lot > 3200:
		n, allowed, p.From, p.To = 48, 1, 3201, 0
	case lot > 250:
		n, p.From, p.To = 24, 251, 3200
	case lot >= 12:
		n, p.From, p.To = 12, 12, 250
	}
	p.First = Stage{n, n, allowed, allowed + 1}
	return p
}
