"""The wiring of a site as drawings to print: what is drawn, and how it is put on paper."""
