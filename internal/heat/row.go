package heat

import "combline/internal/quantity"

// A Row is the honey at one hour. Diastase, invertase are shares kept of what was
// there; HMF is what was added; Liquid is the share at equilibrium, Molten the one
// remembered. Coldest and Hottest are of the whole body.
type Row struct {
	Hour                                 float64
	Centre, SideMid, BottomAxis, TopAxis quantity.Celsius
	TopRim, Mean, Coldest, Hottest       quantity.Celsius
	HMFMean, HMFWorst                    quantity.MgKg
	DiastaseMean, DiastaseWorst          float64
	InvertaseMean, InvertaseWorst        float64
	LiquidMean, LiquidWorst              float64
	MoltenMean, MoltenWorst              float64
	YeastLeast                           float64 // kills in the coldest-treated cell; 1 or more: dead
	StoredKJ                             float64 // heat that the honey took up
	ClosureKJ                            float64 // what came in through the faces, less what is stored
	HeaterKWh                            float64 // what the heater gave, of all bodies and the room
	Room                                 quantity.Celsius
}

// A Result is what came of a case: Rows are of the hours of ReportH, and where targets
// are watched Path has one for each step that was made.
type Result struct {
	Rows []Row
	Path []Row
	MetH []float64 // hour at which each watched target was first met; NaN: not yet
	End  *Field
	Work Work
}

// Work counts what the answer took.
type Work struct{ Nodes, Steps, Rejected, Solves int }

// Run reckons a case.
func Run(c Case) (Result, error) {
	if err := c.check(); err != nil {
		return Result{}, err
	}
	return run(c)
}
