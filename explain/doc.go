// Package explain holds what an answer looks like before any face shows it: a
// [Document] of sentences, tables, lists, trees and pictures, and the [Node] that one
// claim of an explanation is. It knows no word of the trade, so that text, web
// and paper all show the same thing.
//
// Build a Document, then hand it to a renderer: explain/text, md, html, svg or pdf.
// Problems in files have a package of their own, explain/diag.
package explain
