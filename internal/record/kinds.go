package record

// A Kind says which fact a body holds. Its number is part of the byte form:
// never renumber and never use one again, only append.
type Kind uint16

// The kinds of facts, in the order of the chain from hive to complaint.
const (
	KindSiteOpened        Kind = 1
	KindHivesCounted      Kind = 2
	KindFed               Kind = 3
	KindNotFed            Kind = 4
	KindTreated           Kind = 5
	KindTreatmentEnded    Kind = 6
	KindEnquiryOpened     Kind = 7
	KindEnquiryRuled      Kind = 8
	KindRipenessRead      Kind = 9
	KindSupersMarked      Kind = 10
	KindSupersPlaced      Kind = 11
	KindSupersPulled      Kind = 12
	KindSupersSentBack    Kind = 13
	KindCombsStored       Kind = 14
	KindLotOpened         Kind = 15
	KindSupersReceived    Kind = 16
	KindHotRoomEntered    Kind = 17
	KindHotRoomLeft       Kind = 18
	KindSupersSpun        Kind = 19
	KindWetSupersWeighed  Kind = 20
	KindLotRanInto        Kind = 21
	KindLotClosed         Kind = 22
	KindCappingsSpun      Kind = 23
	KindWaxCast           Kind = 24
	KindMelterHoneyDrawn  Kind = 25
	KindHoneyBought       Kind = 26
	KindDrumReceived      Kind = 27
	KindStockOpened       Kind = 28
	KindVesselNamed       Kind = 29
	KindVesselGone        Kind = 30
	KindPlaceNamed        Kind = 31
	KindMachineNamed      Kind = 32
	KindDrumFilled        Kind = 33
	KindSealed            Kind = 34
	KindPlaced            Kind = 35
	KindHoneyMoved        Kind = 36
	KindMixed             Kind = 37
	KindStirred           Kind = 38
	KindStrained          Kind = 39
	KindSkimmed           Kind = 40
	KindTippedBack        Kind = 41
	KindSampled           Kind = 42
	KindSampleSent        Kind = 43
	KindDestroyed         Kind = 44
	KindLost              Kind = 45
	KindStockChecked      Kind = 46
	KindTemperatureRead   Kind = 47
	KindHeatSet           Kind = 48
	KindStreamRead        Kind = 49
	KindSeeded            Kind = 50
	KindCooled            Kind = 51
	KindResultRead        Kind = 52
	KindHoldSet           Kind = 53
	KindReleased          Kind = 54
	KindHoldLifted        Kind = 55
	KindTouchedRuled      Kind = 56
	KindHoldOverridden    Kind = 57
	KindProductNamed      Kind = 58
	KindRecipeSet         Kind = 59
	KindRunStarted        Kind = 60
	KindFillerSet         Kind = 61
	KindNozzlesChecked    Kind = 62
	KindFillerAdjusted    Kind = 63
	KindJarsFilled        Kind = 64
	KindBatchMade         Kind = 65
	KindRegraded          Kind = 66
	KindRetained          Kind = 67
	KindRunReconciled     Kind = 68
	KindRunEnded          Kind = 69
	KindSealTested        Kind = 70
	KindGlassBroken       Kind = 71
	KindCustomerNamed     Kind = 72
	KindSupplierNamed     Kind = 73
	KindOrderTaken        Kind = 74
	KindOrderDropped      Kind = 75
	KindPromised          Kind = 76
	KindPromiseTakenBack  Kind = 77
	KindCased             Kind = 78
	KindPalletised        Kind = 79
	KindSent              Kind = 80
	KindReturned          Kind = 81
	KindComplaintTaken    Kind = 82
	KindComplaintAnswered Kind = 83
	KindRecallStarted     Kind = 84
	KindRecallEnded       Kind = 85
	KindMaterialNamed     Kind = 86
	KindMaterialReceived  Kind = 87
	KindMaterialUsed      Kind = 88
	KindMaterialCounted   Kind = 89
	KindMaterialOrdered   Kind = 90
	KindCleaned           Kind = 91
	KindInstrumentNamed   Kind = 92
	KindInstrumentChecked Kind = 93
	KindProblemFound      Kind = 94
	KindProblemDealtWith  Kind = 95
	KindStartChecked      Kind = 96
	KindNoted             Kind = 97
	KindHouseNamed        Kind = 98
	KindPersonNamed       Kind = 99
	KindPersonLeft        Kind = 100
	KindDeviceNamed       Kind = 101
	KindDeviceShutOut     Kind = 102
	KindSettingChanged    Kind = 103
	KindPlanAccepted      Kind = 104
	KindPrinted           Kind = 105
	KindAmended           Kind = 106
	KindStruck            Kind = 107
	KindLedgerRestored    Kind = 108
	KindNotTreated        Kind = 109
	KindBlendPlanned      Kind = 110
	KindBlendDropped      Kind = 111
	KindWarmingWanted     Kind = 112
	KindWarmingDropped    Kind = 113
	KindPhotoKept         Kind = 114
	KindSiteDescribed     Kind = 115
	KindSafetyPointSet    Kind = 116
	KindSafetyPlanSigned  Kind = 117
	KindDayPlanned        Kind = 118
	KindJobTicked         Kind = 119
	KindHoursWorked       Kind = 120
	KindRecallStep        Kind = 121
	KindLabelProved       Kind = 122
	KindLabelPrinted      Kind = 123
)

// kindDef is what is known of a kind: its word on the command line and in files,
// what it says, and how an empty one is made.
type kindDef struct {
	word, says string
	make       func() Fact
}

var kinds = [...]kindDef{
	KindSiteOpened:        {"site-opened", "hives stand at a site from now on.", func() Fact { return new(SiteOpened) }},
	KindHivesCounted:      {"hives-counted", "so many hives stand at a site.", func() Fact { return new(HivesCounted) }},
	KindFed:               {"fed", "colonies got feed.", func() Fact { return new(Fed) }},
	KindNotFed:            {"not-fed", "it is written down that a site got no feed in a period; no word is not none.", func() Fact { return new(NotFed) }},
	KindTreated:           {"treated", "a product against mites or disease was put in the colonies of a site.", func() Fact { return new(Treated) }},
	KindTreatmentEnded:    {"treatment-ended", "the product was taken out, or its course is over.", func() Fact { return new(TreatmentEnded) }},
	KindEnquiryOpened:     {"enquiry-opened", "a bee disease is suspected at sites; their combs stand still.", func() Fact { return new(EnquiryOpened) }},
	KindEnquiryRuled:      {"enquiry-ruled", "the inspector ruled on an enquiry.", func() Fact { return new(EnquiryRuled) }},
	KindRipenessRead:      {"ripeness-read", "combs of a site were looked at before the pull.", func() Fact { return new(RipenessRead) }},
	KindSupersMarked:      {"supers-marked", "boxes got marks that name their own site.", func() Fact { return new(SupersMarked) }},
	KindSupersPlaced:      {"supers-placed", "boxes were set on the hives of a site. From is the site that the boxes belong to, when it is another or is known.", func() Fact { return new(SupersPlaced) }},
	KindSupersPulled:      {"supers-pulled", "boxes of honey were taken off the hives for a lot.", func() Fact { return new(SupersPulled) }},
	KindSupersSentBack:    {"supers-sent-back", "wet or clean combs of a lot went to a site.", func() Fact { return new(SupersSentBack) }},
	KindCombsStored:       {"combs-stored", "boxes of a lot were put away in the house.", func() Fact { return new(CombsStored) }},
	KindLotOpened:         {"lot-opened", "honey of one site and one pull day has a name from now on.", func() Fact { return new(LotOpened) }},
	KindSupersReceived:    {"supers-received", "stacks of full supers were weighed in.", func() Fact { return new(SupersReceived) }},
	KindHotRoomEntered:    {"hot-room-entered", "supers of a lot went into the hot room.", func() Fact { return new(HotRoomEntered) }},
	KindHotRoomLeft:       {"hot-room-left", "supers of a lot came out of the hot room.", func() Fact { return new(HotRoomLeft) }},
	KindSupersSpun:        {"supers-spun", "supers of a lot went through uncapper and extractor.", func() Fact { return new(SupersSpun) }},
	KindWetSupersWeighed:  {"wet-supers-weighed", "spun supers of a lot were weighed out again.", func() Fact { return new(WetSupersWeighed) }},
	KindLotRanInto:        {"lot-ran-into", "honey of a lot ran, unweighed, into a vessel.", func() Fact { return new(LotRanInto) }},
	KindLotClosed:         {"lot-closed", "a lot's extraction is over. Reason explains the gap, when it is known.", func() Fact { return new(LotClosed) }},
	KindCappingsSpun:      {"cappings-spun", "honey was spun cold from a lot's cappings and ran back to the lot.", func() Fact { return new(CappingsSpun) }},
	KindWaxCast:           {"wax-cast", "wax of a lot's cappings was weighed as a block.", func() Fact { return new(WaxCast) }},
	KindMelterHoneyDrawn:  {"melter-honey-drawn", "honey that came out of the wax melter was put in a vessel.", func() Fact { return new(MelterHoneyDrawn) }},
	KindHoneyBought:       {"honey-bought", "honey came in from outside, with its owner, supplier and papers.", func() Fact { return new(HoneyBought) }},
	KindDrumReceived:      {"drum-received", "one drum of a delivery was weighed in.", func() Fact { return new(DrumReceived) }},
	KindStockOpened:       {"stock-opened", "honey that was here before the record began.", func() Fact { return new(StockOpened) }},
	KindVesselNamed:       {"vessel-named", "a tank, drum, pail or tote bears a number that it keeps for good.", func() Fact { return new(VesselNamed) }},
	KindVesselGone:        {"vessel-gone", "a vessel left the house for good, sold or scrapped.", func() Fact { return new(VesselGone) }},
	KindPlaceNamed:        {"place-named", "a place where things stand has a name.", func() Fact { return new(PlaceNamed) }},
	KindMachineNamed:      {"machine-named", "a machine that honey or combs touch has a name.", func() Fact { return new(MachineNamed) }},
	KindDrumFilled:        {"drum-filled", "a drum or pail was filled from a lot or vessel and weighed.", func() Fact { return new(DrumFilled) }},
	KindSealed:            {"sealed", "a seal was put on a filling.", func() Fact { return new(Sealed) }},
	KindPlaced:            {"placed", "things were moved to a place, or seen there.", func() Fact { return new(Placed) }},
	KindHoneyMoved:        {"honey-moved", "honey was tipped, pumped or poured into a vessel.", func() Fact { return new(HoneyMoved) }},
	KindMixed:             {"mixed", "vessels were pumped round until they held one mix.", func() Fact { return new(Mixed) }},
	KindStirred:           {"stirred", "a vessel was stirred.", func() Fact { return new(Stirred) }},
	KindStrained:          {"strained", "honey went through a sieve, or a sieve was looked at.", func() Fact { return new(Strained) }},
	KindSkimmed:           {"skimmed", "foam and wax were taken off the top.", func() Fact { return new(Skimmed) }},
	KindTippedBack:        {"tipped-back", "packed honey was emptied into a vessel and is honey in bulk again.", func() Fact { return new(TippedBack) }},
	KindSampled:           {"sampled", "a sample was drawn. Its mass leaves what it was drawn from.", func() Fact { return new(Sampled) }},
	KindSampleSent:        {"sample-sent", "samples went to a laboratory.", func() Fact { return new(SampleSent) }},
	KindDestroyed:         {"destroyed", "honey or packed goods were made unusable and thrown away.", func() Fact { return new(Destroyed) }},
	KindLost:              {"lost", "honey went missing in a known way: hoses, floor, heel washed out.", func() Fact { return new(Lost) }},
	KindStockChecked:      {"stock-checked", "a content was weighed or measured as it stands.", func() Fact { return new(StockChecked) }},
	KindTemperatureRead:   {"temperature-read", "a room, vessel or content was read.", func() Fact { return new(TemperatureRead) }},
	KindHeatSet:           {"heat-set", "a room, bath or jacket was set to a temperature. It says what a person set, not what the honey had.", func() Fact { return new(HeatSet) }},
	KindStreamRead:        {"stream-read", "an hour of an instrument's readings was stored as one block beside the chain; this fact is its summary with the digest of the stored bytes.", func() Fact { return new(StreamRead) }},
	KindSeeded:            {"seeded", "fine set honey was stirred in so that a tank sets fine.", func() Fact { return new(Seeded) }},
	KindCooled:            {"cooled", "a soft-set tank or its jars were brought to their setting temperature.", func() Fact { return new(Cooled) }},
	KindResultRead:        {"result-read", "properties of a content were read in the house or reported by a laboratory.", func() Fact { return new(ResultRead) }},
	KindHoldSet:           {"hold-set", "honey, goods or anything that they come from may not be used until it is released.", func() Fact { return new(HoldSet) }},
	KindReleased:          {"released", "a hold no longer blocks these contents.", func() Fact { return new(Released) }},
	KindHoldLifted:        {"hold-lifted", "a hold is over as a whole.", func() Fact { return new(HoldLifted) }},
	KindTouchedRuled:      {"touched-ruled", "a named role cleared or held what a hold possibly touched.", func() Fact { return new(TouchedRuled) }},
	KindHoldOverridden:    {"hold-overridden", "held honey was poured or sent all the same; it stands in the same batch as the pour, before it.", func() Fact { return new(HoldOverridden) }},
	KindProductNamed:      {"product-named", "something is made and sold under a name.", func() Fact { return new(ProductNamed) }},
	KindRecipeSet:         {"recipe-set", "how a product is made, and what it is packed in, from now on.", func() Fact { return new(RecipeSet) }},
	KindRunStarted:        {"run-started", "the packing of one product began.", func() Fact { return new(RunStarted) }},
	KindFillerSet:         {"filler-set", "the filler was set before or during a run.", func() Fact { return new(FillerSet) }},
	KindNozzlesChecked:    {"nozzles-checked", "jars of each nozzle were weighed during a run.", func() Fact { return new(NozzlesChecked) }},
	KindFillerAdjusted:    {"filler-adjusted", "a nozzle was set otherwise during a run.", func() Fact { return new(FillerAdjusted) }},
	KindJarsFilled:        {"jars-filled", "units were filled from a vessel and bear one lot mark.", func() Fact { return new(JarsFilled) }},
	KindBatchMade:         {"batch-made", "a product with honey in it was made and packed.", func() Fact { return new(BatchMade) }},
	KindRegraded:          {"regraded", "units of a batch were taken out of it and bear a mark of their own: relabelled, kept back, or set aside.", func() Fact { return new(Regraded) }},
	KindRetained:          {"retained", "units were put aside for a later dispute.", func() Fact { return new(Retained) }},
	KindRunReconciled:     {"run-reconciled", "what a run used and left was counted.", func() Fact { return new(RunReconciled) }},
	KindRunEnded:          {"run-ended", "a packing run is over.", func() Fact { return new(RunEnded) }},
	KindSealTested:        {"seal-tested", "closures or portion seals of a run were tested.", func() Fact { return new(SealTested) }},
	KindGlassBroken:       {"glass-broken", "glass broke in a run.", func() Fact { return new(GlassBroken) }},
	KindCustomerNamed:     {"customer-named", "somebody buys.", func() Fact { return new(CustomerNamed) }},
	KindSupplierNamed:     {"supplier-named", "somebody sells to the house.", func() Fact { return new(SupplierNamed) }},
	KindOrderTaken:        {"order-taken", "a customer ordered.", func() Fact { return new(OrderTaken) }},
	KindOrderDropped:      {"order-dropped", "an order will not be filled.", func() Fact { return new(OrderDropped) }},
	KindPromised:          {"promised", "honey or goods were put by for an order.", func() Fact { return new(Promised) }},
	KindPromiseTakenBack:  {"promise-taken-back", "what was put by for an order is free again.", func() Fact { return new(PromiseTakenBack) }},
	KindCased:             {"cased", "units were packed in numbered cases. Batches are in the order of packing; the cases take their units in turn.", func() Fact { return new(Cased) }},
	KindPalletised:        {"palletised", "cases were put on a pallet.", func() Fact { return new(Palletised) }},
	KindSent:              {"sent", "goods left the house.", func() Fact { return new(Sent) }},
	KindReturned:          {"returned", "goods came back.", func() Fact { return new(Returned) }},
	KindComplaintTaken:    {"complaint-taken", "a customer complained.", func() Fact { return new(ComplaintTaken) }},
	KindComplaintAnswered: {"complaint-answered", "a complaint was dealt with.", func() Fact { return new(ComplaintAnswered) }},
	KindRecallStarted:     {"recall-started", "goods are called back, or it is practised.", func() Fact { return new(RecallStarted) }},
	KindRecallEnded:       {"recall-ended", "what came back of a recall was counted.", func() Fact { return new(RecallEnded) }},
	KindMaterialNamed:     {"material-named", "jars, lids, labels, film, ingredients have a name.", func() Fact { return new(MaterialNamed) }},
	KindMaterialReceived:  {"material-received", "a lot of material came in.", func() Fact { return new(MaterialReceived) }},
	KindMaterialUsed:      {"material-used", "material went into a run or batch, spoilt pieces apart.", func() Fact { return new(MaterialUsed) }},
	KindMaterialCounted:   {"material-counted", "so much of a lot of material is there.", func() Fact { return new(MaterialCounted) }},
	KindMaterialOrdered:   {"material-ordered", "material was ordered from a supplier.", func() Fact { return new(MaterialOrdered) }},
	KindCleaned:           {"cleaned", "machines or vessels were cleaned. Ends says for which causes the cleaning ends what the next honey could carry over; a word like spores is never among them.", func() Fact { return new(Cleaned) }},
	KindInstrumentNamed:   {"instrument-named", "a scale, refractometer, thermometer or logger has a name.", func() Fact { return new(InstrumentNamed) }},
	KindInstrumentChecked: {"instrument-checked", "an instrument was checked against something known.", func() Fact { return new(InstrumentChecked) }},
	KindProblemFound:      {"problem-found", "something is not as it should be.", func() Fact { return new(ProblemFound) }},
	KindProblemDealtWith:  {"problem-dealt-with", "what was done about a problem.", func() Fact { return new(ProblemDealtWith) }},
	KindStartChecked:      {"start-checked", "the checks before a start were made.", func() Fact { return new(StartChecked) }},
	KindNoted:             {"noted", "a line in the diary.", func() Fact { return new(Noted) }},
	KindHouseNamed:        {"house-named", "the house, where it is, and the rules that it keeps.", func() Fact { return new(HouseNamed) }},
	KindPersonNamed:       {"person-named", "somebody works here. No name is needed; initials or a role will do.", func() Fact { return new(PersonNamed) }},
	KindPersonLeft:        {"person-left", "somebody no longer works here.", func() Fact { return new(PersonLeft) }},
	KindDeviceNamed:       {"device-named", "a tablet or office PC may write in the record.", func() Fact { return new(DeviceNamed) }},
	KindDeviceShutOut:     {"device-shut-out", "a device may write no longer.", func() Fact { return new(DeviceShutOut) }},
	KindSettingChanged:    {"setting-changed", "one of the house's own rules is so from now on.", func() Fact { return new(SettingChanged) }},
	KindPlanAccepted:      {"plan-accepted", "somebody agreed to a plan. What was done is recorded as done.", func() Fact { return new(PlanAccepted) }},
	KindPrinted:           {"printed", "a paper with worked-out figures was printed. What was printed stays; when a correction changes a figure, the paper is shown as \"would now be\".", func() Fact { return new(Printed) }},
	KindAmended:           {"amended", "an earlier fact was wrong; With stands in its place, with the time that it is now said to have happened.", func() Fact { return new(Amended) }},
	KindStruck:            {"struck", "an earlier fact did not happen.", func() Fact { return new(Struck) }},
	KindLedgerRestored:    {"ledger-restored", "the record was restored from a back-up; the facts First to Last that had been acknowledged are lost; number series skip past as many.", func() Fact { return new(LedgerRestored) }},
	KindNotTreated:        {"not-treated", "it is written down that a site got no treatment in a period; no word is not none.", func() Fact { return new(NotTreated) }},
	KindBlendPlanned:      {"blend-planned", "somebody agreed to a blend. What was tipped is recorded as it is tipped.", func() Fact { return new(BlendPlanned) }},
	KindBlendDropped:      {"blend-dropped", "a planned blend will not be made, or not any further.", func() Fact { return new(BlendDropped) }},
	KindWarmingWanted:     {"warming-wanted", "contents are to be warm and free of grains by a time. What was set and read is recorded as it is done.", func() Fact { return new(WarmingWanted) }},
	KindWarmingDropped:    {"warming-dropped", "contents need not be warmed after all.", func() Fact { return new(WarmingDropped) }},
	KindPhotoKept:         {"photo-kept", "a photo was kept with the house; its bytes stand beside the facts.", func() Fact { return new(PhotoKept) }},
	KindSiteDescribed:     {"site-described", "how far a site is, what its bees bring in and how soon that sets in the comb.", func() Fact { return new(SiteDescribed) }},
	KindSafetyPointSet:    {"safety-point-set", "a point of the food-safety plan reads so from now on.", func() Fact { return new(SafetyPointSet) }},
	KindSafetyPlanSigned:  {"safety-plan-signed", "the food-safety plan was looked through and is signed.", func() Fact { return new(SafetyPlanSigned) }},
	KindDayPlanned:        {"day-planned", "the plan for the days to come was agreed to. What was done is recorded as it is done.", func() Fact { return new(DayPlanned) }},
	KindJobTicked:         {"job-ticked", "a job of the day sheet was done, or was not and why.", func() Fact { return new(JobTicked) }},
	KindHoursWorked:       {"hours-worked", "people worked on a run, a batch or a lot; each of them worked the hours.", func() Fact { return new(HoursWorked) }},
	KindRecallStep:        {"recall-step", "something of a running recall was done, or it was practised; the clock is the fact's own time.", func() Fact { return new(RecallStep) }},
	KindLabelProved:       {"label-proved", "two persons held the proof of a label against the record and found it fit to print.", func() Fact { return new(LabelProved) }},
	KindLabelPrinted:      {"label-printed", "so many labels were printed by a proof.", func() Fact { return new(LabelPrinted) }},
}

func (*SiteOpened) Kind() Kind        { return KindSiteOpened }
func (*HivesCounted) Kind() Kind      { return KindHivesCounted }
func (*Fed) Kind() Kind               { return KindFed }
func (*NotFed) Kind() Kind            { return KindNotFed }
func (*Treated) Kind() Kind           { return KindTreated }
func (*TreatmentEnded) Kind() Kind    { return KindTreatmentEnded }
func (*EnquiryOpened) Kind() Kind     { return KindEnquiryOpened }
func (*EnquiryRuled) Kind() Kind      { return KindEnquiryRuled }
func (*RipenessRead) Kind() Kind      { return KindRipenessRead }
func (*SupersMarked) Kind() Kind      { return KindSupersMarked }
func (*SupersPlaced) Kind() Kind      { return KindSupersPlaced }
func (*SupersPulled) Kind() Kind      { return KindSupersPulled }
func (*SupersSentBack) Kind() Kind    { return KindSupersSentBack }
func (*CombsStored) Kind() Kind       { return KindCombsStored }
func (*LotOpened) Kind() Kind         { return KindLotOpened }
func (*SupersReceived) Kind() Kind    { return KindSupersReceived }
func (*HotRoomEntered) Kind() Kind    { return KindHotRoomEntered }
func (*HotRoomLeft) Kind() Kind       { return KindHotRoomLeft }
func (*SupersSpun) Kind() Kind        { return KindSupersSpun }
func (*WetSupersWeighed) Kind() Kind  { return KindWetSupersWeighed }
func (*LotRanInto) Kind() Kind        { return KindLotRanInto }
func (*LotClosed) Kind() Kind         { return KindLotClosed }
func (*CappingsSpun) Kind() Kind      { return KindCappingsSpun }
func (*WaxCast) Kind() Kind           { return KindWaxCast }
func (*MelterHoneyDrawn) Kind() Kind  { return KindMelterHoneyDrawn }
func (*HoneyBought) Kind() Kind       { return KindHoneyBought }
func (*DrumReceived) Kind() Kind      { return KindDrumReceived }
func (*StockOpened) Kind() Kind       { return KindStockOpened }
func (*VesselNamed) Kind() Kind       { return KindVesselNamed }
func (*VesselGone) Kind() Kind        { return KindVesselGone }
func (*PlaceNamed) Kind() Kind        { return KindPlaceNamed }
func (*MachineNamed) Kind() Kind      { return KindMachineNamed }
func (*DrumFilled) Kind() Kind        { return KindDrumFilled }
func (*Sealed) Kind() Kind            { return KindSealed }
func (*Placed) Kind() Kind            { return KindPlaced }
func (*HoneyMoved) Kind() Kind        { return KindHoneyMoved }
func (*Mixed) Kind() Kind             { return KindMixed }
func (*Stirred) Kind() Kind           { return KindStirred }
func (*Strained) Kind() Kind          { return KindStrained }
func (*Skimmed) Kind() Kind           { return KindSkimmed }
func (*TippedBack) Kind() Kind        { return KindTippedBack }
func (*Sampled) Kind() Kind           { return KindSampled }
func (*SampleSent) Kind() Kind        { return KindSampleSent }
func (*Destroyed) Kind() Kind         { return KindDestroyed }
func (*Lost) Kind() Kind              { return KindLost }
func (*StockChecked) Kind() Kind      { return KindStockChecked }
func (*TemperatureRead) Kind() Kind   { return KindTemperatureRead }
func (*HeatSet) Kind() Kind           { return KindHeatSet }
func (*StreamRead) Kind() Kind        { return KindStreamRead }
func (*Seeded) Kind() Kind            { return KindSeeded }
func (*Cooled) Kind() Kind            { return KindCooled }
func (*ResultRead) Kind() Kind        { return KindResultRead }
func (*HoldSet) Kind() Kind           { return KindHoldSet }
func (*Released) Kind() Kind          { return KindReleased }
func (*HoldLifted) Kind() Kind        { return KindHoldLifted }
func (*TouchedRuled) Kind() Kind      { return KindTouchedRuled }
func (*HoldOverridden) Kind() Kind    { return KindHoldOverridden }
func (*ProductNamed) Kind() Kind      { return KindProductNamed }
func (*RecipeSet) Kind() Kind         { return KindRecipeSet }
func (*RunStarted) Kind() Kind        { return KindRunStarted }
func (*FillerSet) Kind() Kind         { return KindFillerSet }
func (*NozzlesChecked) Kind() Kind    { return KindNozzlesChecked }
func (*FillerAdjusted) Kind() Kind    { return KindFillerAdjusted }
func (*JarsFilled) Kind() Kind        { return KindJarsFilled }
func (*BatchMade) Kind() Kind         { return KindBatchMade }
func (*Regraded) Kind() Kind          { return KindRegraded }
func (*Retained) Kind() Kind          { return KindRetained }
func (*RunReconciled) Kind() Kind     { return KindRunReconciled }
func (*RunEnded) Kind() Kind          { return KindRunEnded }
func (*SealTested) Kind() Kind        { return KindSealTested }
func (*GlassBroken) Kind() Kind       { return KindGlassBroken }
func (*CustomerNamed) Kind() Kind     { return KindCustomerNamed }
func (*SupplierNamed) Kind() Kind     { return KindSupplierNamed }
func (*OrderTaken) Kind() Kind        { return KindOrderTaken }
func (*OrderDropped) Kind() Kind      { return KindOrderDropped }
func (*Promised) Kind() Kind          { return KindPromised }
func (*PromiseTakenBack) Kind() Kind  { return KindPromiseTakenBack }
func (*Cased) Kind() Kind             { return KindCased }
func (*Palletised) Kind() Kind        { return KindPalletised }
func (*Sent) Kind() Kind              { return KindSent }
func (*Returned) Kind() Kind          { return KindReturned }
func (*ComplaintTaken) Kind() Kind    { return KindComplaintTaken }
func (*ComplaintAnswered) Kind() Kind { return KindComplaintAnswered }
func (*RecallStarted) Kind() Kind     { return KindRecallStarted }
func (*RecallEnded) Kind() Kind       { return KindRecallEnded }
func (*MaterialNamed) Kind() Kind     { return KindMaterialNamed }
func (*MaterialReceived) Kind() Kind  { return KindMaterialReceived }
func (*MaterialUsed) Kind() Kind      { return KindMaterialUsed }
func (*MaterialCounted) Kind() Kind   { return KindMaterialCounted }
func (*MaterialOrdered) Kind() Kind   { return KindMaterialOrdered }
func (*Cleaned) Kind() Kind           { return KindCleaned }
func (*InstrumentNamed) Kind() Kind   { return KindInstrumentNamed }
func (*InstrumentChecked) Kind() Kind { return KindInstrumentChecked }
func (*ProblemFound) Kind() Kind      { return KindProblemFound }
func (*ProblemDealtWith) Kind() Kind  { return KindProblemDealtWith }
func (*StartChecked) Kind() Kind      { return KindStartChecked }
func (*Noted) Kind() Kind             { return KindNoted }
func (*HouseNamed) Kind() Kind        { return KindHouseNamed }
func (*PersonNamed) Kind() Kind       { return KindPersonNamed }
func (*PersonLeft) Kind() Kind        { return KindPersonLeft }
func (*DeviceNamed) Kind() Kind       { return KindDeviceNamed }
func (*DeviceShutOut) Kind() Kind     { return KindDeviceShutOut }
func (*SettingChanged) Kind() Kind    { return KindSettingChanged }
func (*PlanAccepted) Kind() Kind      { return KindPlanAccepted }
func (*Printed) Kind() Kind           { return KindPrinted }
func (*Amended) Kind() Kind           { return KindAmended }
func (*Struck) Kind() Kind            { return KindStruck }
func (*LedgerRestored) Kind() Kind    { return KindLedgerRestored }
func (*NotTreated) Kind() Kind        { return KindNotTreated }
func (*BlendPlanned) Kind() Kind      { return KindBlendPlanned }
func (*BlendDropped) Kind() Kind      { return KindBlendDropped }
func (*WarmingWanted) Kind() Kind     { return KindWarmingWanted }
func (*WarmingDropped) Kind() Kind    { return KindWarmingDropped }
func (*PhotoKept) Kind() Kind         { return KindPhotoKept }
func (*SiteDescribed) Kind() Kind     { return KindSiteDescribed }
func (*SafetyPointSet) Kind() Kind    { return KindSafetyPointSet }
func (*SafetyPlanSigned) Kind() Kind  { return KindSafetyPlanSigned }
func (*DayPlanned) Kind() Kind        { return KindDayPlanned }
func (*JobTicked) Kind() Kind         { return KindJobTicked }
func (*HoursWorked) Kind() Kind       { return KindHoursWorked }
func (*RecallStep) Kind() Kind        { return KindRecallStep }
func (*LabelProved) Kind() Kind       { return KindLabelProved }
func (*LabelPrinted) Kind() Kind      { return KindLabelPrinted }

// New returns an empty fact of kind k, or nil when k is not known.
func New(k Kind) Fact {
	if k == 0 || int(k) >= len(kinds) {
		return nil
	}
	return kinds[k].make()
}

// String is the kind's word: "supers-received".
func (k Kind) String() string {
	if k == 0 || int(k) >= len(kinds) {
		return "unknown"
	}
	return kinds[k].word
}

// Says is what a fact of the kind says, in one English sentence for help texts.
func (k Kind) Says() string { return kinds[k].says }

// KindOf returns the kind with a word.
func KindOf(word string) (Kind, bool) {
	for k := 1; k < len(kinds); k++ {
		if kinds[k].word == word {
			return Kind(k), true
		}
	}
	return 0, false
}

// Kinds lists every kind in order.
func Kinds() []Kind {
	var all []Kind
	for k := 1; k < len(kinds); k++ {
		all = append(all, Kind(k))
	}
	return all
}
