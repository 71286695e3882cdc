// Package internal holds only the test of the layers; each folder below is one package.
package internal
