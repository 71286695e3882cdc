package cli

import (
	"net"
	"os"
	"slices"
	"strconv"
	"strings"
)

// hereAddress is where a browser on this computer finds what listens at an address.
func hereAddress(at *net.TCPAddr) string {
	host := at.IP.String()
	if at.IP.IsUnspecified() {
		host = "127.0.0.1"
	}
	return "http://" + net.JoinHostPort(host, strconv.Itoa(at.Port)) + "/"
}

// lanAddresses are where other devices of the network find it now: by each of this
// computer's own addresses.
func lanAddresses(at *net.TCPAddr) (all []string) {
	if !at.IP.IsUnspecified() {
		return []string{hereAddress(at)}
	}
	own, err := net.InterfaceAddrs()
	if err != nil {
		return nil
	}
	for _, a := range own {
		n, ok := a.(*net.IPNet)
		if ok && n.IP.To4() != nil && n.IP.IsGlobalUnicast() { // shorter to type than the others
			all = append(all, hereAddress(&net.TCPAddr{IP: n.IP, Port: at.Port}))
		}
	}
	slices.Sort(all)
	return all
}

// ownNames are this computer's names in the network, without what follows a point.
func ownNames() []string {
	name, err := os.Hostname()
	if err != nil {
		return nil
	}
	name, _, _ = strings.Cut(name, ".")
	return []string{name}
}
