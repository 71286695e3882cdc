// Package label works out what the label of a pack is to say, from what was tipped
// into it, and holds what somebody typed for it against the record and the rules.
// A word that the record does not bear out is found, never let through: what is not
// known is not a pass.
//
// It states rule sets with their edition and asks for a look at the authority's own
// word; it is no legal advice. Sources: Regulation (EU) 1169/2011, Directive
// 2001/110/EC as amended by (EU) 2024/1438, Directive 76/211/EEC, Directive
// 2011/91/EU, Regulation (EC) 1924/2006; each finding names its own.
package label
