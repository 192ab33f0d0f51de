-- What a job has found so far, while it goes on: a repair is answered before what would mend it is known.
ALTER TABLE jobs ADD COLUMN so_far TEXT
