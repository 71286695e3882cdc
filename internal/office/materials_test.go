package office_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"combline/internal/office"
	"combline/internal/record"
)

func season(month time.Month, d int) record.Day {
	return record.DayOf(time.Date(2026, month, d, 0, 0, 0, 0, time.UTC))
}

// What packing needed on 1 September, by the demo season's own table, which is added up
// by hand beside the season (scenario, section 5). The plan saw only what was known
// that day. The figures are whole pieces: no tolerance.
func TestMaterialsOfTheFirstOfSeptember(t *testing.T) {
	o := demoOffice(t)
	v, err := o.AsOf(t.Context(), time.Date(2026, time.September, 1, 23, 59, 0, 0, time.FixedZone("", 2*3600)))
	if err != nil {
		t.Fatal(err)
	}
	runs := []office.PlannedRun{{Order: "O-01", Run: "R2", Day: season(time.September, 21), Fill: 0}, {Order: "O-02", Run: "R1", Day: season(time.September, 28)},
		{Order: "O-03a", Run: "R5", Day: season(time.October, 14)}, {Order: "O-03b", Run: "R6", Day: season(time.October, 16)},
		{Order: "O-06", Run: "R3", Day: season(time.November, 3)}, {Order: "O-07", Run: "R4", Day: season(time.November, 5)}}
	filled := map[record.Code]int64{"O-01": 6312, "O-02": 2640, "O-06": 9900, "O-07": 3420}
	const table = `JAR340     need 15756 on hand 9600  short 6156 wait 21 first R3 2026-11-03 order by 2026-10-12
JAR454     need 2424 on hand 3000  short 0 wait 21 first  - order by -
JAR250     need 3030 on hand 2000  short 1030 wait 28 first R4 2026-11-05 order by 2026-10-07
LID        need 21210 on hand 18000  short 3210 wait 14 first R3 2026-11-03 order by 2026-10-19
LABEL-VM   need 6120 on hand 7000  short 0 wait 10 first  - order by -
LABEL-6040 need 9792 on hand 0  short 9792 wait 10 first R3 2026-11-03 order by 2026-10-23
CASE12     need 1750 on hand 1200  short 550 wait 7 first R3 2026-11-03 order by 2026-10-26`
	const withShop = `JAR340     need 16212 on hand 9600  short 6612 wait 21 first R3 2026-11-03 order by 2026-10-12
JAR454     need 2640 on hand 3000  short 0 wait 21 first  - order by -
JAR250     need 3420 on hand 2000  short 1420 wait 28 first R4 2026-11-05 order by 2026-10-07
LID        need 22272 on hand 18000  short 4272 wait 14 first R3 2026-11-03 order by 2026-10-19
LABEL-VM   need 6312 on hand 7000  short 0 wait 10 first  - order by -
LABEL-6040 need 9900 on hand 0  short 9900 wait 10 first R3 2026-11-03 order by 2026-10-23`
	for name, want := range map[string]string{"ordered units and spare": table, "own-shop extras really filled": withShop} {
		ask := office.MaterialsAsk{Today: season(time.September, 1)}
		for _, r := range runs {
			if name != "ordered units and spare" {
				r.Fill = filled[r.Order]
			}
			ask.Runs = append(ask.Runs, r)
		}
		got := map[record.Code]string{}
		for _, n := range v.Materials(ask).Needs {
			by, on := "-", "-"
			if n.OrderBy != 0 {
				by, on = n.OrderBy.String(), n.FirstShort.Day.String()
			}
			if n.Weighed {
				continue // what the kitchen takes stands in its own test
			}
			got[n.Material] = fmt.Sprintf("%-10s need %d on hand %d  short %d wait %d first %s %s order by %s", n.Material, n.Need, n.OnHand, n.Short, n.WaitDays, n.FirstShort.Run, on, by)
			if n.Known != (n.Material != "LABEL-6040") {
				t.Errorf("%s: known %v; only the blend's labels had never come", n.Material, n.Known)
			}
		}
		for _, line := range strings.Split(want, "\n") {
			code := record.Code(strings.Fields(line)[0])
			if got[code] != line {
				t.Errorf("%s:\n got %s\nwant %s", name, got[code], line)
			}
		}
	}
}
