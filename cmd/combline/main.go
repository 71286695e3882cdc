// Combline keeps the record of a honey house and answers from it.
package main

func main() {}
