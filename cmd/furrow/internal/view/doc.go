// Package view makes pictures of work, and of files made for a controller.
package view
