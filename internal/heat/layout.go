package heat

// grid lays nodes into the body. Where top and bottom are alike, half of the
// height stands for both halves.
func (c *Case) grid() *grid {
	b := c.Body
	switch b.Shape {
	case Cylinder:
		z, f := c.upright()
		return newGrid([]*axis{disc(b.DiameterM/2, c.nodes(acrossRadius)), z}, [][2]int{{side, side}, f})
	case Box:
		z, f := c.upright()
		return newGrid([]*axis{mirrored(b.LengthM, c.nodes(halfWidth)), mirrored(b.WidthM, c.nodes(halfWidth)), z},
			[][2]int{{side, side}, {side, side}, f})
	case Plate:
		z, f := c.upright()
		return newGrid([]*axis{z}, [][2]int{f})
	case LongCylinder:
		return newGrid([]*axis{disc(b.DiameterM/2, c.nodes(acrossRadius))}, [][2]int{{side, side}})
	}
	return newGrid([]*axis{cell(b.VolumeM3(c.Honey.DensityKgM3), b.JacketM2, b.OtherM2)}, [][2]int{{side, top}})
}

// What an axis spans decides how many nodes it gets.
const (
	acrossRadius = 10
	halfWidth    = 8
	halfHeight   = 8
	fullHeight   = 13
)

func (c *Case) nodes(usual int) int {
	if c.Nodes != 0 {
		return c.Nodes
	}
	return usual
}

func (c *Case) upright() (*axis, [2]int) {
	if c.Faces.Top.same(c.Faces.Bottom) {
		return mirrored(c.Body.HeightM, c.nodes(halfHeight)), [2]int{top, top}
	}
	return line(c.Body.HeightM, c.nodes(fullHeight)), [2]int{bottom, top}
}

// same compares two faces, reading the first hour's temperatures too.
func (f Face) same(g Face) bool {
	if f.Film != g.Film || f.Heated != g.Heated || f.Film > 0 && len(f.Ambient) != len(g.Ambient) {
		return false
	}
	if f.Film == 0 {
		return true
	}
	for i := range f.Ambient {
		if f.Ambient[i] != g.Ambient[i] {
			return false
		}
	}
	return true
}

// places are the nodes that a row names.
type places struct{ centre, side, bottom, top, rim int }

func (g *grid) places() places {
	var p places
	for a, ax := range g.axes {
		last, s := ax.n-1, g.stride[a]
		switch {
		case ax.kind == radial:
			p.side += last * s
			p.rim += last * s
		case g.ends[len(g.ends)-1].axis != a: // x or y of a box: the side is in the middle of the first
			if a == 0 {
				p.side += last * s
			}
			p.rim += last * s
		case ax.kind == half:
			p.bottom += last * s
			p.top += last * s
			p.rim += last * s
		case ax.kind == across:
			p.centre += last / 2 * s
			p.side += last / 2 * s
			p.top += last * s
			p.rim += last * s
		}
	}
	return p
}
