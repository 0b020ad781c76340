"""Pure renderers: a job to text or bytes; write.py alone touches files."""
