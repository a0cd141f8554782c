"""How well photographs of painted cards are read: the simulator paints and photographs, the reader reads."""
