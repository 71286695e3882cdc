// Package epcis writes what happened to the honey as events of EPCIS 2.0 (ISO/IEC
// 19987:2024), checks them, and names each by the hash of what it says, so that two
// copies of one event are known as one.
//
// Sources: GS1 EPCIS 2.0 JSON schema and JSON-LD context; CBV 2.0 section 8.9 (event
// hash), with its reference vectors.
package epcis
