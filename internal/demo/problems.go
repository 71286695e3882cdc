package demo

import (
	"time"

	"combline/internal/record"
)

// Holds of the season, in the order in which they were set.
const (
	holdTreatment record.Code = "H-01" // L07
	holdDisease   record.Code = "H-02" // L08
	holdHeat      record.Code = "H-03" // D041
	holdWeight    record.Code = "H-04" // R3, half-hours 14 to 18
	holdFerment   record.Code = "H-05" // R1
)

const (
	roleOwner      = "owner-manager"
	roleExtracting = "extracting lead"
)

// overridden says in which role honey on hold was let be poured or sent all the
// same, and why.
func overridden(hold record.Code, role, reason string, contents ...record.Code) record.Fact {
	return &record.HoldOverridden{Hold: hold, Contents: contents, Reason: reason, Role: role}
}

// treatmentClash: supers were pulled at Ambry Hill while the mite strips, whose
// label allows no supers, were in.
func treatmentClash(d *diary) {
	d.at(at(time.July, 27, 11, 0), foreman, &record.HoldSet{Hold: holdTreatment, Cause: record.CauseTreatment,
		Roots:  []record.Code{"L07"},
		Reason: "pulled while mite strips were in; the label says no supers during treatment. Until the residue result and the licensed adviser's ruling"})
}

// diseaseEnquiry: foulbrood is suspected at Low Cutter; Sallow Fen got boxes from there.
func diseaseEnquiry(d *diary) {
	t := at(time.September, 9, 10, 0)
	d.at(t, foreman, &record.EnquiryOpened{Enquiry: "E-01", Sites: []record.Code{lowCutter, sallowFen},
		Disease: "American foulbrood, suspected", Hive: "hive 14 at Low Cutter", Told: "bee inspector",
		Note: "46 wet boxes of L08 went to Sallow Fen on 6 August"})
	d.at(minutes(t, 10), foreman, &record.HoldSet{Hold: holdDisease, Cause: record.CauseDisease,
		Roots: []record.Code{lowCutter}, Reason: "foulbrood suspected in hive 14; until the inspector rules"})
}

// overheatedDrum: the thermostat of the bath stuck with D041 in it.
func overheatedDrum(d *diary) {
	t := at(time.October, 13, 8, 0)
	d.at(minutes(t, 20), packLead,
		&record.ProblemFound{Problem: "P-01", About: []record.Code{bath, "D041"},
			What: "thermostat stuck since 11 October; honey found melted at about 62 °C after 38 hours"},
		&record.HoldSet{Hold: holdHeat, Cause: record.CauseHeat, Roots: []record.Code{"D041"},
			Reason: "stood at about 62 °C for 38 hours; until the laboratory's HMF and diastase"})
	d.at(minutes(t, 120), owner, &record.ProblemDealtWith{Problem: "P-01", Action: "bath out of use, new thermostat fitted", Over: record.Yes})
	d.at(at(time.October, 19, 10, 0), owner, &record.Released{Hold: holdHeat, Contents: []record.Code{"D041"}, Role: roleOwner,
		Reason: "for cooking grade only: HMF over 40, diastase under 8; not into table honey, also not diluted", Evidence: "sheet 26-0956"})
	d.at(at(time.October, 26, 9, 30), owner, &record.HoldLifted{Hold: holdHeat, Role: roleOwner,
		Reason: "D041 is sold as cooking grade; nothing else stood in the bath", Evidence: "sheet 26-0956"})
}

// complaint: a soft-set jar of R1 ferments.
func complaint(d *diary) {
	t := at(time.November, 18, 10, 0)
	d.at(t, clerk, &record.ComplaintTaken{Complaint: "K-01", Customer: saltmarsh, Mark: "R1", Class: record.FaultFerment,
		Units: 1, What: "one 454 g jar, lid domed, fizzy liquid on top"})
	d.at(minutes(t, 10), packLead, &record.HoldSet{Hold: holdFerment, Cause: record.CauseFerment, Roots: []record.Code{"R1"},
		Reason: "complaint K-01: fermenting"})
	d.at(minutes(t, 40), packLead, &record.Noted{About: []record.Code{"R1"}, Note: "one retained jar opened"})
}
