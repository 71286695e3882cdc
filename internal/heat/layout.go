package heat

import (
	"math"
	"slices"
)

// grid lays nodes into the body. Where top and bottom are alike, half of the
// height stands for both halves.
func (c *Case) grid() *grid {
	b := c.Body
	switch b.Shape {
	case Cylinder:
		z, f := c.upright()
		return newGrid([]*axis{disc(b.DiameterM/2, c.nodes(b.DiameterM/2, c.Faces.Side.Film)), z}, [][2]int{{sideFace, sideFace}, f})
	case Box:
		z, f := c.upright()
		return newGrid([]*axis{mirrored(b.LengthM, c.nodes(b.LengthM/2, c.Faces.Side.Film)), mirrored(b.WidthM, c.nodes(b.WidthM/2, c.Faces.Side.Film)), z},
			[][2]int{{sideFace, sideFace}, {sideFace, sideFace}, f})
	case Plate:
		z, f := c.upright()
		return newGrid([]*axis{z}, [][2]int{f})
	case LongCylinder:
		return newGrid([]*axis{disc(b.DiameterM/2, c.nodes(b.DiameterM/2, c.Faces.Side.Film))}, [][2]int{{sideFace, sideFace}})
	}
	return newGrid([]*axis{cell(b.VolumeM3(c.Honey.DensityKgM3), b.JacketM2, b.OtherM2)}, [][2]int{{sideFace, topFace}})
}

const (
	leastNodes, usualMost = 6, 20
	mostInBox             = 12 // of three axes
	strongBiot            = 10.0
)

// nodes gives the count for an axis of a length from its middle to a face with a
// film. A warmth that has gone √(α·t) deep by the first report wants nodes in it,
// and those near a face lie 1/n² apart:
//
//	n = 2.95·(α·t/L²)^(−1/4), 2 more for grains, or a film so strong that the face jumps
//
// The tests hold it against 31 nodes: it leaves at most 0.006 K from the first
// report on.
func (c *Case) nodes(lengthM float64, films ...float64) int {
	if c.Nodes != 0 {
		return c.Nodes
	}
	k := c.Honey.Conductivity.At(float64(c.Start.Core))
	alpha := k / (c.Honey.DensityKgM3 * c.Honey.HeatCapacity.At(float64(c.Start.Core)))
	n := int(math.Ceil(2.95 * math.Pow(alpha*c.firstLook()*3600/(lengthM*lengthM), -0.25)))
	if slices.Max(films)*lengthM/k > strongBiot || c.Melt != nil {
		n += 2
	}
	if c.Body.Shape == Box {
		return min(max(n, leastNodes), mostInBox)
	}
	return min(max(n, leastNodes), usualMost)
}

// firstLook is the first hour after the start that is reported.
func (c *Case) firstLook() float64 {
	for _, h := range c.ReportH {
		if h > 0 {
			return h
		}
	}
	return 1
}

// upright is the axis from bottom to top: half of it where both are alike.
func (c *Case) upright() (*axis, [2]int) {
	top, bottom, height := c.Faces.Top, c.Faces.Bottom, c.Body.HeightM
	n := c.nodes(height/2, top.Film, bottom.Film)
	if top.same(bottom) {
		return mirrored(height, n), [2]int{topFace, topFace}
	}
	if c.Nodes == 0 {
		n = (8*n/5)/2*2 + 1 // odd, so that the middle is a node
	}
	return line(height, n), [2]int{bottomFace, topFace}
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
