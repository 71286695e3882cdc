package record

// A RecallStepKind is a step of a recall that is timed.
type RecallStepKind uint8

const (
	RecallMarkFound RecallStepKind = iota + 1 // the mark led to its run, drums and sites
	RecallListMade
	RecallStockHeld
	RecallCustomerTold
	RecallAuthorityTold
	RecallCameBack
	RecallOtherStep
)

var recallStepNames = []string{"", "mark found", "list made", "stock held", "customer told", "authority told", "came back", "other"}

func (k RecallStepKind) String() string { return recallStepNames[k] }

// Key is the step's key: "choice.mark-found".
func (k RecallStepKind) Key() string { return ChoiceKey(k.String()) }

// RecallStep: something of a running recall was done; the clock is the fact's own time.
type RecallStep struct {
	Recall   Code
	Step     RecallStepKind
	Customer Code // who was told, or sent goods back
	Units    int64
	Note     string
}

func (x *RecallStep) fields(f *form) {
	f.ref(1, "recall", &x.Recall, need, only[Recall])
	choice(f, 2, "did", &x.Step, need, recallStepNames)
	f.ref(3, "customer", &x.Customer, may, only[Customer])
	f.count(4, "units", &x.Units, may)
	f.note(5, "note", &x.Note, may)
}
