package epcis

// For the tests that may know the house.
var Schema, Valid = standards, valid
