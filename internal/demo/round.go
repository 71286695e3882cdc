package demo

import (
	"time"

	q "combline/internal/quantity"
	"combline/internal/record"
)

// round is what the foreman knows of the sites of the summer crop on the morning of
// 18 July, the day before the main pull: the drive, and how ripe the combs are. All of it
// is invented; the pulls that follow, with their days and how ripe they were then, are the
// season's own.
var round = []struct {
	site    record.Code
	minutes int64
	capped  int64
	water   int64 // tenths
}{{brackenlow, 15, 93, 176}, {wytheHollow, 20, 90, 176}, {sallowFen, 35, 88, 177}, {ambryHill, 30, 85, 175}, {lowCutter, 70, 81, 178}}

// beforeTheMainPull: the combs were looked at, and it is written down that nothing was put
// into the colonies.
func beforeTheMainPull(d *diary) {
	t := at(time.July, 18, 5, 30)
	var facts []record.Fact
	for _, s := range round {
		facts = append(facts,
			&record.SiteDescribed{Site: s.site, Drive: fig(s.minutes, 0, q.Minute), Crop: "summer"},
			&record.RipenessRead{Site: s.site, Capped: pct(s.capped), Water: fig(s.water, 1, q.Pct)},
			&record.NotTreated{Site: s.site, From: dayOf(time.March, 1), To: record.DayOf(t)})
	}
	d.at(t, foreman, facts...)
}
