"""What is proved on the text, one file a check. They see no plan, no offset and no strategy."""
