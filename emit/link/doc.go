// Package link hands a file to a controller over an io.ReadWriter, line by line, and
// stops the machine as well as a program can. It opens no ports and reads no files.
//
// The controller answers each line with a line that begins with the profile's word for
// taken or for refused; anything else that it says is passed on. Answers come in the
// sequence of the lines. No more is under way than the window allows: one line, or so many
// bytes as the controller's receive buffer has. The first line goes alone.
//
// A run ends by itself in these ways, and all but the first send the profile's stop and
// then lines that turn the beam off:
//
//	done         every line was acknowledged
//	asked        somebody asked for it, or the program was ended
//	refused      the controller refused a line
//	silent       no answer came within the time of the moves that the controller may still
//	             have to do, and some more: an answer or a line was lost
//	restarted    the controller said again what it says when it starts
//	confused     an answer came to a line that was not sent
//	lost         the link is gone
//
// With a window, answers are counted and name no line. Every few seconds of the file, at a
// place with the beam off, all of them are waited for, so that one which is missing is
// noticed then, with the lines among which it is.
//
// Whatever was sent is a start of the file, byte for byte, and then that stop. What the
// machine does is not known here: an acknowledgement says that a line was taken and not
// that it was done, and a stop that was sent may not have come in.
//
// A hold stops the head at once where the profile says how and the beam is known to be
// off meanwhile: where its power follows the speed, or the controller turns it off. Else no
// more lines are sent behind the next one that leaves the beam off, since a head that
// stands with the beam on burns.
package link
