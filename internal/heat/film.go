package heat

// A Face is how one side of a body meets what is around it.
type Face struct {
	Film    float64 // W/(m²·K), convection and radiation together; 0: nothing passes
	Ambient Program
	Heated  bool // the heater's room or jacket: its ambient is the set point
}

// Faces are those of a body; a box's four walls are its side.
type Faces struct{ Side, Bottom, Top Face }

// All gives every face one film and ambient.
func All(film float64, ambient Program) Faces {
	f := Face{Film: film, Ambient: ambient}
	return Faces{f, f, f}
}

// Films that are usual, W/(m²·K), from memory and good to a factor of 1.5:
// convection and radiation together.
const (
	StillAir  = 8.0   // 5 to 10
	FanAir    = 15.0  // 10 to 25
	WaterBath = 200.0 // 100 to 500

	leastFilm, mostFilm = 0.0, 20000.0
)

// A Layer is a wall between the honey and the film.
type Layer struct{ ThickM, WMK float64 }

// Through is the film with walls in series:
//
//	1/h = 1/film + Σ thickness/k
//
// Exact for plane walls, and within half the thickness over the radius for round
// ones. Theory of heat conduction; Incropera, ch. 3.
func Through(film float64, walls ...Layer) (float64, error) {
	if err := between("film", film, 1e-6, mostFilm, "W/(m²·K)"); err != nil {
		return 0, err
	}
	r := 1 / film
	for _, w := range walls {
		if err := first(between("wall", w.ThickM, 0, 1, "m"), between("conductivity of a wall", w.WMK, 0.005, 500, "W/(m·K)")); err != nil {
			return 0, err
		}
		r += w.ThickM / w.WMK
	}
	return 1 / r, nil
}
