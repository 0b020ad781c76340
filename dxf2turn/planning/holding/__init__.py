"""How the work is held: in jaws, in its bore, with tailstock and steady, and how far it gives."""
