"""From a symptom in a technician's words to the nearest past cases, with their source lines."""
