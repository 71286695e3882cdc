package office

import "combline/internal/quantity"

// A Rule is one of the house's own rules: what it may set, and what holds where it
// has set nothing (common practice).
type Rule struct {
	Name      string
	Otherwise quantity.Figure
}

// Rules lists the rules that a house may set for itself, as the answers ask for them.
func Rules() []Rule {
	return []Rule{{"gap.lot", lotRule}, {"gap.run", runRule}, {"wet.above", wetLine}, {"old.after", oldDays}, {"day.soon", soonDays}, {"lot.open", openDays}, {"order.lead", runLead},
		{"keep.months", keepMonths}, {"keep.temp", keepTemp}, {"keep.swing", keepSwing}, {"keep.sure", keepSure},
		{"warm.fill", warmFill}, {"warm.most", warmMost}, {"warm.set", warmSet}, {"warm.gain", warmGain}, {"warm.price", warmPrice},
		{"blend.risk", blendRisk}, {"blend.allow", blendAllow}, {"blend.over", blendOver}, {"blend.warm", blendWarm}, {"blend.draw", blendDraw}, {"blend.handling", blendHandling},
		{"fill.spread", fillSpread}, {"fill.warmer", fillWarmer}, {"cost.own", costOwn}, {"cost.bought", costBought},
		{"pull.capped", pullCapped}, {"pull.water", pullWater}, {"pull.fresh", pullFresh}, {"pull.warm", pullWarm}, {"pull.hours", pullHours}, {"pull.rate", pullRate}, {"pull.far", pullFar},
		{"start.wash", startWash}, {"history.span", histSpan}, {"stores.reserve", storesReserve}, {"stores.loss", storesLoss}, {"stores.water", storesWater},
		{"lab.months", labMonths},
		{"stores.need.low", storesNeedLow}, {"stores.need.high", storesNeedHigh}, {"stores.frame.low", storesFrameLow}, {"stores.frame.high", storesFrameHigh},
		{"comb.target", combTarget}, {"comb.fresh", combFresh}, {"frames.super", superFrames}, {"draw.bubble", drawBubble}, {"draw.temp", drawTemp}, {"cool.jacket", coolJacket},
		{"plan.hands", planHands}, {"plan.crew", planCrew}, {"plan.setup", planSetUp}, {"plan.tip", planTip}, {"plan.clean", planClean}, {"plan.warm", planWarm},
		{"plan.cool", planCool}, {"plan.soft", planSoft}, {"plan.rewarm", planRewarm}, {"plan.ahead", planAhead}, {"plan.loss", planLoss}, {"plan.late", planLate}, {"plan.move", planMove}}
}

// A TextRule is one of the house's own rules that is a text.
type TextRule struct {
	Name  string
	YesNo bool
}

// TextRules lists the rules that are texts: how the scale beside the filler is heard, and
// how the house fills.
func TextRules() []TextRule {
	return []TextRule{{"fill.source", false}, {"fill.pattern", false}, {"fill.scale", false}, {"fill.nozzle-on-jar", true}, {"fill.minimum", true}, {"fill.by-volume", true},
		{"stores.climate", false}, {"stores.depth", false}, {"line.rates", false}, {"hours.week", false}, {"plan.tanks", false}, {"plan.cooled", false}}
}

// Yes reads such a rule's yes, in any of the program's languages.
func Yes(text string) bool { return yes(text) }
