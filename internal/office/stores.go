package office

import (
	"math"
	"slices"

	"combline/internal/answer"
	"combline/internal/flow"
	"combline/internal/honey"
	"combline/internal/house"
	"combline/internal/quantity"
	"combline/internal/record"
)

// What winter stores are reckoned with, where the house set nothing (common practice;
// package flow says whose). A need or a frame that is not set is the climate's and the
// depth's.
var (
	storesReserve = quantity.Figure{Mantissa: 4, Unit: quantity.KgUnit} // beyond the need, for a late spring
	storesLoss    = quantity.Figure{Mantissa: 15, Unit: quantity.Pct}   // of sugar, until it is stores
	storesWater   = quantity.Figure{Mantissa: 18, Unit: quantity.Pct}   // of the stores made of it

	// shown as usual where the house set none: of a temperate climate and deep frames
	storesNeedLow   = quantity.Figure{Mantissa: 27, Unit: quantity.KgUnit}
	storesNeedHigh  = quantity.Figure{Mantissa: 36, Unit: quantity.KgUnit}
	storesFrameLow  = quantity.Figure{Mantissa: 23, Decimals: 1, Unit: quantity.KgUnit}
	storesFrameHigh = quantity.Figure{Mantissa: 30, Decimals: 1, Unit: quantity.KgUnit}
)

// A StoresAsk asks what may be taken off a colony. Figures are a hive's, in kilograms.
type StoresAsk struct {
	Site     record.Code // may be empty
	Hives    int64       // 0: as counted at the site
	Have     float64     // honey on the hive; NaN: not known
	Frames   float64     // or full frames of honey; NaN: not counted
	LateFlow float64     // what will still come in
	Sugar    float64     // what will be fed, as dry sugar
	Climate  string      // empty: the house's
	Depth    string      // of the frames; empty: the house's
}

// storesOf are the two bands that the answer stands on.
func (v *View) storesOf(ask *StoresAsk) (need, frame honey.Band[float64], err error) {
	none := quantity.Figure{}
	if ask.Climate == "" {
		ask.Climate = v.State.SettingText("stores.climate")
	}
	if ask.Depth == "" {
		ask.Depth = v.State.SettingText("stores.depth")
	}
	if ask.Climate == "" {
		ask.Climate = string(flow.Temperate)
	}
	if ask.Depth == "" {
		ask.Depth = "deep"
	}
	if need, err = flow.WinterNeed(flow.Climate(ask.Climate)); err != nil {
		return need, frame, &house.Refusal{Key: "stores.no-climate", Args: answer.Args{"typed": ask.Climate}}
	}
	if frame, err = flow.FrameKg(ask.Depth); err != nil {
		return need, frame, &house.Refusal{Key: "stores.no-depth", Args: answer.Args{"typed": ask.Depth}}
	}
	ownBand(v.State.Setting("stores.need.low", none), v.State.Setting("stores.need.high", none), &need)
	ownBand(v.State.Setting("stores.frame.low", none), v.State.Setting("stores.frame.high", none), &frame)
	return need, frame, nil
}

// ownBand takes the house's own ends of a band, where it set both.
func ownBand(low, high quantity.Figure, b *honey.Band[float64]) {
	l, err1 := low.In(quantity.KgUnit)
	h, err2 := high.In(quantity.KgUnit)
	if low.Given() && high.Given() && err1 == nil && err2 == nil && l > 0 && h >= l {
		*b = honey.Band[float64]{Low: l, Likely: (l + h) / 2, High: h}
	}
}

// Stores answers what a colony needs over winter, what may be taken off it as low, likely
// and high, and what must be fed where it lacks. It is never one number.
func (v *View) Stores(ask StoresAsk) answer.Answer {
	a := answer.Answer{Question: "stores", Of: v.properCode(ask.Site)}
	if ask.Site != "" {
		s, ok := v.State.Yard.Site(ask.Site)
		if !ok {
			a.Cannot = v.noSite(ask.Site)
			return a
		}
		if a.Of = s.Code; ask.Hives == 0 && s.Hives.Given() {
			ask.Hives = int64(s.Hives.Float())
		}
	}
	need, frame, err := v.storesOf(&ask)
	if err != nil {
		a.Cannot = lineOf(err)
		return a
	}
	a.Say("stores.need", answer.Args{"low": kgFigure(need.Low), "likely": kgFigure(need.Likely), "high": kgFigure(need.High), "climate": answer.Key("stores.climate." + ask.Climate)})
	v.storesTake(&a, ask, need, frame)
	a.RestsOn("stores.frame", answer.Args{"depth": answer.Key("stores.depth." + ask.Depth), "low": kgFigure(frame.Low), "high": kgFigure(frame.High)})
	for _, key := range []string{"caution.stores-brood", "caution.stores-feed", "caution.stores-disease"} {
		a.Then(key, nil)
	}
	a.Follows("follows.stores", answer.Args{"reserve": v.State.Setting("stores.reserve", storesReserve), "loss": v.State.Setting("stores.loss", storesLoss)})
	v.restsOnRecord(&a)
	return a
}

// storesTake fills the table: what is there, needed, left over or lacking, a hive and in
// all.
func (v *View) storesTake(a *answer.Answer, ask StoresAsk, need, frame honey.Band[float64]) {
	reserve := v.State.Setting("stores.reserve", storesReserve).Float()
	perSugar, err := v.perSugar()
	if err != nil {
		a.Cannot = &answer.Line{Key: "stores.settings"}
		return
	}
	have, known := haveBand(ask, frame)
	ends := [3]struct {
		have, need, frame float64
	}{{have.Low, need.High, frame.High}, {have.Likely, need.Likely, frame.Likely}, {have.High, need.Low, frame.Low}}
	if !known {
		a.Warn("stores.have-unknown", nil)
		a.Then("next.stores.weigh", nil)
		return
	}
	var frames, kg, lack, sugar [3]float64
	for i, e := range ends {
		s := flow.Stores{Have: e.have, LateFlow: ask.LateFlow, Feed: ask.Sugar * perSugar, Need: e.need, Reserve: reserve}
		n, err := flow.FramesToTake(s, e.frame)
		if err != nil {
			a.Cannot = &answer.Line{Key: "stores.settings"}
			return
		}
		frames[i], kg[i] = float64(n), float64(n)*e.frame
		lack[i] = max(0, s.Need+s.Reserve-s.Have-s.LateFlow-s.Feed)
		sugar[i] = lack[i] / perSugar
	}
	v.storesTable(a, ask, ends, frames, kg, lack, sugar)
	args := answer.Args{"low": int64(frames[0]), "likely": int64(frames[1]), "high": int64(frames[2])}
	switch {
	case frames[0] > 0:
		a.Lines = append(a.Lines, answer.Line{Key: "stores.take", Args: args, Mark: answer.Good})
	case frames[2] > 0:
		a.Warn("stores.take-maybe", args)
	default:
		a.Lines = append(a.Lines, answer.Line{Key: "stores.take-none", Args: args, Mark: answer.Bad})
	}
	if lack[0] > 0 {
		slices.Sort(sugar[:]) // the least that lacks first
		a.Warn("stores.feed", answer.Args{"low": kgFigure(sugar[0]), "likely": kgFigure(sugar[1]), "high": kgFigure(sugar[2])})
	}
}

// haveBand is the honey on a hive: weighed, or frames by what a full one may hold.
func haveBand(ask StoresAsk, frame honey.Band[float64]) (have honey.Band[float64], known bool) {
	switch {
	case !math.IsNaN(ask.Have):
		return honey.Band[float64]{Low: ask.Have, Likely: ask.Have, High: ask.Have}, true
	case !math.IsNaN(ask.Frames):
		return honey.Band[float64]{Low: ask.Frames * frame.Low, Likely: ask.Frames * frame.Likely, High: ask.Frames * frame.High}, true
	}
	return have, false
}

// perSugar is the kilograms of stores that bees make of one of sugar.
func (v *View) perSugar() (float64, error) {
	return flow.StoresFromSugar(1, quantity.WaterPct(v.State.Setting("stores.water", storesWater).Float()), v.State.Setting("stores.loss", storesLoss).Float()/100)
}

func (v *View) storesTable(a *answer.Answer, ask StoresAsk, ends [3]struct{ have, need, frame float64 }, frames, kg, lack, sugar [3]float64) {
	hive := a.Table("stores", "what", "low", "likely", "high")
	row := func(t *answer.Table, key string, x [3]float64, u quantity.Unit) {
		slices.Sort(x[:]) // each row is a band of its own
		t.Row(answer.Plain, answer.Key(key), tenth(x[0], u), tenth(x[1], u), tenth(x[2], u))
	}
	each := func(of func(i int) float64) (x [3]float64) {
		for i := range x {
			x[i] = of(i)
		}
		return x
	}
	row(hive, "stores.row.have", each(func(i int) float64 { return ends[i].have }), quantity.KgUnit)
	row(hive, "stores.row.need", each(func(i int) float64 { return ends[i].need }), quantity.KgUnit)
	hive.Row(answer.Plain, answer.Key("stores.row.frames"), int64(frames[0]), int64(frames[1]), int64(frames[2]))
	row(hive, "stores.row.kg", kg, quantity.KgUnit)
	row(hive, "stores.row.lack", lack, quantity.KgUnit)
	row(hive, "stores.row.sugar", sugar, quantity.KgUnit)
	for _, s := range []struct {
		key   string
		share float64 // of sugar by weight
	}{{"stores.row.syrup-1-1", 1. / 2}, {"stores.row.syrup-3-2", 3. / 5}, {"stores.row.syrup-2-1", 2. / 3}} {
		row(hive, s.key, each(func(i int) float64 { return sugar[i] / s.share }), quantity.KgUnit)
	}
	if ask.Hives > 1 {
		n := float64(ask.Hives)
		all := a.Table("stores-all", "what", "low", "likely", "high")
		row(all, "stores.row.kg", each(func(i int) float64 { return n * kg[i] }), quantity.KgUnit)
		row(all, "stores.row.sugar", each(func(i int) float64 { return n * sugar[i] }), quantity.KgUnit)
		a.RestsOn("stores.hives", answer.Args{"hives": ask.Hives})
	}
}

func kgFigure(x float64) quantity.Figure { return tenth(x, quantity.KgUnit) }
