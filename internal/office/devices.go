package office

import "combline/internal/record"

// A Device may write in the record, or could until it was shut out.
type Device struct {
	record.DeviceNamed
	When record.When // it was named
	Out  bool
}

// Devices lists tablets and computers in the order in which they were named.
func (v *View) Devices() (all []Device) {
	for _, t := range v.State.OfKind(record.Device) {
		named, ok := v.State.Named(t).(*record.DeviceNamed)
		if !ok {
			continue
		}
		d := Device{DeviceNamed: *named}
		for _, seq := range v.State.Mentions(t) {
			e, err := v.Fact(uint64(seq))
			if err != nil {
				continue
			}
			switch f := e.Fact.(type) {
			case *record.DeviceNamed:
				d.When = e.When
			case *record.DeviceShutOut:
				d.Out = d.Out || f.Device.Fold() == named.Device.Fold()
			}
		}
		all = append(all, d)
	}
	return all
}

// DeviceIn reports whether a code is a device that may write.
func (v *View) DeviceIn(code record.Code) bool {
	t, ok := v.State.Find(code)
	if !ok || code == "" || v.State.KindOf(t) != record.Device {
		return false
	}
	for _, seq := range v.State.Mentions(t) {
		e, err := v.Fact(uint64(seq))
		if err != nil {
			return false // what can't be read lets nobody in
		}
		if f, ok := e.Fact.(*record.DeviceShutOut); ok && f.Device.Fold() == code.Fold() {
			return false
		}
	}
	return true
}
