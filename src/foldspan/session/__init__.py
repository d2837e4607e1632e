"""The measuring session as a pure state machine: an event in, the next prompt out."""
