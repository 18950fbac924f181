package socket

// restrict does nothing: a file has the rights of its folder here, and who may open the
// folder's files may open the socket.
func restrict(string) error { return nil }
